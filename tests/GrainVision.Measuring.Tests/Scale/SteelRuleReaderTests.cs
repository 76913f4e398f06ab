using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Scale;

/// <summary>
/// Steel rules in drawn photos of known geometry. The drawn rules follow common practice for how long graduations are (from memory, no
/// source); an inch is 25.4 mm exactly (international yard and pound agreement, 1959).
/// </summary>
public sealed class SteelRuleReaderTests
{
    private const int Width = 1600;
    private const int Height = 1200;

    // edge, unit, px/mm, turn, tilt about x and y, blur px, noise levels, glare levels
    public static TheoryData<string, SteelRuleUnit, double, double, double, double, double, double, double> Rules() => new()
    {
        { "mm", SteelRuleUnit.Mm, 8, 0, 0, 0, 0.6, 2, 0 },
        { "mm", SteelRuleUnit.Mm, 5, 137, 4, -3, 0.8, 4, 30 },
        { "mm", SteelRuleUnit.Mm, 3.6, 20, 2, 2, 0.5, 2, 0 },
        { "mm", SteelRuleUnit.Mm, 12, 263, -8, 6, 1.5, 3, 60 },
        { "mm", SteelRuleUnit.Mm, 25, 90, 6, 6, 1.2, 4, 0 },
        { "mm", SteelRuleUnit.Mm, 30, 181, 5, -5, 0.6, 2, 40 },
        { "half mm", SteelRuleUnit.Mm, 10, 45, -5, 4, 0.8, 3, 0 },
        { "half mm", SteelRuleUnit.Mm, 14, 310, 3, 3, 1.2, 3, 40 },
        { "1/16", SteelRuleUnit.Inch, 6, 10, 3, -4, 0.7, 3, 0 },
        { "1/16", SteelRuleUnit.Inch, 12, 200, -6, 5, 1.2, 4, 50 },
        { "1/32", SteelRuleUnit.Inch, 6, 333, 5, 5, 0.6, 3, 0 },
        { "1/32", SteelRuleUnit.Inch, 14, 75, -4, -7, 1.0, 4, 40 },
    };

    [Theory]
    [MemberData(nameof(Rules))]
    public void RuleReader_DrawnRule_UnitRightAndScaleWithinThreeInAThousand(
        string edge, SteelRuleUnit unit, double pitch, double turn, double tiltX, double tiltY, double blur, double noise, double glare)
    {
        var drawnEdge = Edge(edge);
        var length = Math.Min(150, 1300 / pitch);
        var map = View(length, pitch, turn, tiltX, tiltY);
        using var photo = Take(map, length, drawnEdge, null, blur, noise, glare);

        Assert.True(ScaleStage.Find(photo, new SteelRuleScale(), CancellationToken.None).TryGet(out var scale, out var refusal), refusal?.Code);

        var truth = 1 / map.Inverse().MagnificationAt(Middle);
        var found = scale.Finding.PixelsPerMm;
        Assert.Equal(ScaleKind.Rule, scale.Finding.Kind);
        Assert.Equal(unit, scale.Finding.Unit);
        Assert.InRange(scale.Finding.UnitProbability!.Value, 0.9, 0.999);
        Assert.InRange(found.Value / truth, 0.997, 1.003);
        Assert.InRange(truth, found.Low, found.High);

        // Away from the middle too: the perspective was found.
        foreach (var p in new PointPx[] { new(200, 200), new(1400, 900), new(300, 1000) })
            Assert.InRange(scale.PixelsPerMmAt(p) * map.Inverse().MagnificationAt(p), 0.99, 1.01);
    }

    [Fact]
    public void RuleReader_Marks_LieOnGraduationsAndAreFew()
    {
        var map = View(150, 8, 17, 3, 3);
        using var photo = Take(map, 150, DrawnEdge.Millimetres, null, 0.6, 2, 0);

        Assert.True(ScaleStage.Find(photo, new SteelRuleScale(), CancellationToken.None).TryGet(out var scale, out _));

        var marks = scale.Finding.Marks!;
        Assert.InRange(marks.Count, 15, 60);
        foreach (var mm in marks.Select(m => map.Inverse().Map(m)))
        {
            Assert.InRange(mm.X - Math.Round(mm.X), -0.04, 0.04);
            Assert.InRange(mm.Y, 0, 3.2);
        }
    }

    [Fact]
    public void RuleReader_Keepout_CoversTheRuleAndLittleMore()
    {
        const double length = 100;
        var map = View(length, 8, 200, 0, 0);
        using var photo = Take(map, length, DrawnEdge.Millimetres, null, 0.6, 2, 0);

        Assert.True(ScaleStage.Find(photo, new SteelRuleScale(), CancellationToken.None).TryGet(out var scale, out _));

        var quad = Assert.Single(scale.ExclusionMask).Select(p => new Point2f((float)map.Inverse().Map(p).X, (float)map.Inverse().Map(p).Y)).ToArray();
        for (var x = -RuleDrawing.MarginMm + 0.5; x < length + RuleDrawing.MarginMm; x += 5)
        {
            Assert.True(Cv2.PointPolygonTest(quad, new Point2f((float)x, 0.5f), false) >= 0);
            Assert.True(Cv2.PointPolygonTest(quad, new Point2f((float)x, 19.5f), false) >= 0);
        }

        Assert.InRange(Cv2.ContourArea(quad), 100 * 20, 125 * 25);
    }

    [Theory]
    [InlineData(0.02)]
    [InlineData(-0.02)]
    public void RuleReader_LensWithDistortion_ScaleOfTheMiddleWithinThreeInAThousand(double k1)
    {
        var map = View(150, 8, 3, 4, -3);
        using var straight = Take(map, 150, DrawnEdge.Millimetres, null, 0.5, 0, 0);
        using var photo = Distort(straight, k1);

        Assert.True(ScaleStage.Find(photo, new SteelRuleScale(), CancellationToken.None).TryGet(out var scale, out var refusal), refusal?.Code);

        var truth = 1 / map.Inverse().MagnificationAt(Middle);
        Assert.InRange(scale.Finding.PixelsPerMm.Value / truth, 0.997, 1.003);
        Assert.InRange(truth, scale.Finding.PixelsPerMm.Low, scale.Finding.PixelsPerMm.High);
    }

    [Fact]
    public void RuleReader_BothEdgesGraduated_ScaleRightWhicheverIsRead()
    {
        var map = View(150, 8, 10, 3, 3);
        using var photo = Take(map, 150, DrawnEdge.Millimetres, DrawnEdge.ThirtySeconds, 0.6, 2, 0);

        Assert.True(ScaleStage.Find(photo, new SteelRuleScale(), CancellationToken.None).TryGet(out var scale, out _));

        Assert.InRange(scale.Finding.PixelsPerMm.Value * map.Inverse().MagnificationAt(Middle), 0.997, 1.003);
    }

    [Fact]
    public void ScaleStage_AutoWithOnlyARule_ReadsTheRule()
    {
        using var photo = Take(View(150, 8, 30, 0, 0), 150, DrawnEdge.Millimetres, null, 0.6, 2, 0);

        Assert.True(ScaleStage.Find(photo, null, CancellationToken.None).TryGet(out var scale, out _));

        Assert.Equal(ScaleKind.Rule, scale.Finding.Kind);
    }

    // Lines of one length, and tenths of an inch (the pattern of a millimetre rule, 2.54 times as wide): nothing may be made of either.
    [Theory]
    [InlineData("equal")]
    [InlineData("tenths")]
    public void RuleReader_DivisionThatDoesNotTellItsUnit_IsRefused(string edge)
    {
        using var photo = Take(View(150, 8, 12, 0, 0), 150, Edge(edge), null, 0.6, 2, 0);

        Assert.False(ScaleStage.Find(photo, null, CancellationToken.None).TryGet(out _, out var refusal));

        Assert.Equal("rule-unit-doubtful", refusal.Code);
        Assert.Equal("scale", refusal.Stage);
        Assert.Equal(RefusalFate.Unprocessable, refusal.Fate);
    }

    // edge, width mm (1000: the far edge lies outside the photo), px/mm, blur px. Decimal inch rules: 1/10 in is 2.54 mm, with the same 5-10 pattern.
    public static TheoryData<string, double, double, double> DecimalInches() => new()
    {
        { "tenths", 19, 5, 0.8 },
        { "tenths", 25, 12, 1.0 },
        { "tenths", 32, 8, 0.6 },
        { "tenths", 1000, 8, 0.6 },
        { "long tenths", 13, 8, 0.6 },
        { "long tenths", 20, 5, 0.8 },
        { "long tenths", 30, 12, 1.2 },
        { "long tenths", 1000, 8, 0.6 },
        { "fiftieths", 19, 10, 0.7 },
        { "fiftieths", 25, 20, 1.0 },
        { "fiftieths", 1000, 16, 0.6 },
        { "hundredths", 19, 16, 0.6 },
        { "hundredths", 25, 30, 0.6 },
        { "hundredths", 1000, 24, 0.6 },
    };

    // A millimetre read into any of them would be a wrong accept: a refusal, whether the caller leaves the unit out or says inches.
    [Theory]
    [MemberData(nameof(DecimalInches))]
    public void RuleReader_InchDividedInTenthsFiftiethsOrHundredths_IsNeverReadAsMillimetres(string edge, double width, double pitch, double blur)
    {
        var length = Math.Min(150, 1300 / pitch);
        using var photo = Take(View(length, pitch, 12, 2, 3), length, Edge(edge), null, blur, 2, 0, width);

        foreach (var scale in (SteelRuleScale[])[new(), new(SteelRuleUnit.Inch)])
        {
            Assert.False(ScaleStage.Find(photo, scale, CancellationToken.None).TryGet(out _, out var refusal));
            Assert.Equal(RefusalFate.Unprocessable, refusal.Fate);
        }
    }

    // Without numerals, short graduations on a narrow millimetre rule are what tenths of an inch on a wide one look like: the caller's word decides.
    [Fact]
    public void RuleReader_MillimetresThatCouldBeTenths_AreReadWhereTheCallerSaysMillimetres()
    {
        var map = View(150, 8, 12, 2, 3);
        using var photo = Take(map, 150, new DrawnEdge(1, k => k % 10 == 0 ? 4 : k % 5 == 0 ? 2.8 : 1.9), null, 0.6, 2, 0, 12.7, figures: false);

        Assert.False(ScaleStage.Find(photo, new SteelRuleScale(), CancellationToken.None).TryGet(out _, out var refusal));
        Assert.Equal("rule-unit-doubtful", refusal.Code);
        Assert.Contains("say its unit", refusal.Advice, StringComparison.Ordinal);
        Assert.True(ScaleStage.Find(photo, new SteelRuleScale(SteelRuleUnit.Mm), CancellationToken.None).TryGet(out var scale, out _));
        Assert.InRange(scale.Finding.PixelsPerMm.Value * map.Inverse().MagnificationAt(Middle), 0.997, 1.003);
    }

    // A rule of whole millimetres of which only every second one is resolved: read as millimetres it would be twice as fine.
    [Theory]
    [InlineData(5, null)]
    [InlineData(5, SteelRuleUnit.Mm)]
    [InlineData(9, null)]
    [InlineData(9, SteelRuleUnit.Mm)]
    public void RuleReader_EverySecondMillimetreLost_IsRefusedOrRight(double pitch, SteelRuleUnit? told)
    {
        var map = View(150, pitch, 7, 3, -2);
        using var photo = Take(map, 150, new DrawnEdge(2, k => k % 5 == 0 ? 6.5 : 3.4), null, 0.7, 3, 0, 20, figures: false);

        if (ScaleStage.Find(photo, new SteelRuleScale(told), CancellationToken.None).TryGet(out var scale, out _))
            Assert.InRange(scale.Finding.PixelsPerMm.Value * map.Inverse().MagnificationAt(Middle), 0.99, 1.01);
    }

    [Fact]
    public void RuleReader_UnitOfTheRequestContradictsTheRule_IsRefused()
    {
        using var photo = Take(View(150, 8, 12, 0, 0), 150, DrawnEdge.Millimetres, null, 0.6, 2, 0);

        Assert.False(ScaleStage.Find(photo, new SteelRuleScale(SteelRuleUnit.Inch), CancellationToken.None).TryGet(out _, out var refusal));

        Assert.Equal("rule-unit-contradicts", refusal.Code);
    }

    // Fives and tens are millimetres or parts of an inch of an engineer's scale: only a person, or an inch edge of the same rule, can tell.
    [Theory]
    [InlineData("mm", null, null, SteelRuleUnitBasis.Assumed)]
    [InlineData("half mm", null, null, SteelRuleUnitBasis.Assumed)]
    [InlineData("mm", null, SteelRuleUnit.Mm, SteelRuleUnitBasis.Told)]
    [InlineData("mm", "1/32", null, SteelRuleUnitBasis.Graduations)]
    [InlineData("mm", "1/32", SteelRuleUnit.Mm, SteelRuleUnitBasis.Graduations)]
    [InlineData("1/16", null, null, SteelRuleUnitBasis.Graduations)]
    [InlineData("1/16", null, SteelRuleUnit.Inch, SteelRuleUnitBasis.Graduations)]
    public void RuleReader_ByEdgesAndRequest_SaysWhatTheUnitRestsOn(string front, string? back, SteelRuleUnit? told, SteelRuleUnitBasis expected)
    {
        using var photo = Take(View(120, 9, 12, 2, -2), 120, Edge(front), back is null ? null : Edge(back), 0.6, 2, 0, 28);

        Assert.True(ScaleStage.Find(photo, new AutoScale(told), CancellationToken.None).TryGet(out var scale, out var refusal), refusal?.Code);

        Assert.Equal(expected, scale.Finding.UnitBasis);
        Assert.Equal(expected == SteelRuleUnitBasis.Assumed, scale.Finding.IsUnitAssumed);
        Assert.Equal(expected == SteelRuleUnitBasis.Assumed, scale.Warnings.Any(w => w.Code == WarningCode.RuleUnitAssumed));
        if (told is not null)
            Assert.Equal(told, scale.Finding.Unit);
    }

    [Fact]
    public void RuleReader_TwelveMillimetresOfARule_GivesNoScale()
    {
        using var photo = Take(View(12, 12, 12, 0, 0), 12, DrawnEdge.Millimetres, null, 0.6, 2, 0);

        Assert.False(ScaleStage.Find(photo, new SteelRuleScale(), CancellationToken.None).TryGet(out _, out _));
    }

    // Real wood (fixtures/registry.json): none of these photos shows a rule or a card.
    [Theory]
    [InlineData("board-ends.jpg")]
    [InlineData("ring-closeup.png")]
    [InlineData("face-american-ash-quarter-sawn.jpg")]
    [InlineData("face-american-chestnut-quarter-sawn.jpg")]
    [InlineData("face-baldcypress-quarter-sawn.jpg")]
    [InlineData("face-atlantic-white-cedar-flat-sawn.jpg")]
    [InlineData("face-balsam-fir-flat-sawn.jpg")]
    public void ScaleStage_RealWoodWithoutScale_SaysThatNothingWasFound(string file)
    {
        Assert.True(PhotoIntake.Decode(Tests.Intake.IntakeFiles.Fixture("photos/" + file), IntakeLimits.Default, CancellationToken.None).TryGet(out var photo, out _));
        using (photo)
        {
            Assert.False(ScaleStage.Find(photo, null, CancellationToken.None).TryGet(out _, out var refusal));

            Assert.Equal("scale-not-found", refusal.Code);
            Assert.Contains("Take the photo again", refusal.Advice, StringComparison.Ordinal);
        }
    }

    // Straight parallel rings whose spacing scatters by 4 %, far more even than any wood: still no rule.
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void ScaleStage_AlmostEvenStraightRings_IsNoRule(int seed)
    {
        using var drawn = DrawnRings(seed);

        Assert.False(ScaleStage.Find(drawn, null, CancellationToken.None).TryGet(out _, out var refusal));

        Assert.Equal("scale-not-found", refusal.Code);
    }

    private static PointPx Middle => new((Width - 1) / 2.0, (Height - 1) / 2.0);

    private static DrawnEdge Edge(string name) => name switch
    {
        "mm" => DrawnEdge.Millimetres,
        "half mm" => DrawnEdge.HalfMillimetres,
        "1/16" => DrawnEdge.Sixteenths,
        "1/32" => DrawnEdge.ThirtySeconds,
        "tenths" => DrawnEdge.TenthsOfAnInch,
        "long tenths" => DrawnEdge.LongTenthsOfAnInch,
        "fiftieths" => DrawnEdge.FiftiethsOfAnInch,
        "hundredths" => DrawnEdge.HundredthsOfAnInch,
        _ => DrawnEdge.EqualLines,
    };

    /// <summary>Looks at a place some 100 px from the rule, as a photo of a piece beside it does; focal length of a phone.</summary>
    private static Homography View(double length, double pitch, double turn, double tiltX, double tiltY) =>
        CameraView.Map(new PointPx(length / 2, -100 / pitch), Middle, pitch, turn, tiltX, tiltY, 0.8 * Width);

    private static UprightPhoto Take(
        Homography map, double length, DrawnEdge front, DrawnEdge? back, double blur, double noise, double glare, double width = 20, bool figures = true)
    {
        using var drawn = DrawnPhoto.OnWood(Width, Height, 5);
        drawn.Paint(map, c => RuleDrawing.Draw(c, length, width, front, back, 205, 40, figures));
        return drawn.Take(blur, noise, 5, glare);
    }

    private static UprightPhoto DrawnRings(int seed)
    {
        using var drawn = new DrawnPhoto(Width, Height, new Scalar(120, 160, 190));
        var random = new Random(seed);
        drawn.Paint(Homography.Scaling(10), canvas =>
        {
            using var paint = new SkiaSharp.SKPaint { Color = new SkiaSharp.SKColor(110, 80, 55), StrokeWidth = 0.5f, IsAntialias = true };
            for (var x = 10.0; x < 150; x += 1.5 * (1 + (0.08 * Math.Sqrt(3) * (random.NextDouble() - 0.5))))
                canvas.DrawLine((float)x, 20, (float)x, 60, paint);
        });
        return drawn.Take(0.8, 3, seed);
    }

    /// <summary>The photo as a lens with k1 shows it: an ideal point p comes to c + (p - c)(1 + k1 r^2), r in half diagonals.</summary>
    private static UprightPhoto Distort(UprightPhoto straight, double k1)
    {
        using var mapX = new Mat(Height, Width, MatType.CV_32FC1);
        using var mapY = new Mat(Height, Width, MatType.CV_32FC1);
        var c = Middle;
        var radius = 0.5 * Math.Sqrt(((double)Width * Width) + ((double)Height * Height));
        for (var y = 0; y < Height; y++)
        {
            for (var x = 0; x < Width; x++)
            {
                var (dx, dy) = ((x - c.X) / radius, (y - c.Y) / radius);
                var ideal = 1.0;
                for (var round = 0; round < 6; round++)
                    ideal = 1 / (1 + (k1 * ideal * ideal * ((dx * dx) + (dy * dy))));
                mapX.Set(y, x, (float)(c.X + (ideal * dx * radius)));
                mapY.Set(y, x, (float)(c.Y + (ideal * dy * radius)));
            }
        }

        var seen = new Mat();
        Cv2.Remap(straight.Bgr, seen, mapX, mapY, InterpolationFlags.Cubic);
        return new UprightPhoto(seen, straight.Sha256, []);
    }
}
