using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Section;
using GrainVision.Measuring.Slope;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Slope;

/// <summary>
/// Slope stage on drawn faces of 200 x 90 mm at 8 px/mm: the truth is what was drawn. Flat-grain figure slants at 0.12, wide and widening; fibres run
/// at another slope, as spiral grain does (ANC-19 2.3206: the figure does not show it).
/// </summary>
public sealed class FaceSlopeTests
{
    private const double Pitch = 8;
    private const double FigureSlope = 0.12;

    [Theory]
    [InlineData(-0.03)]
    [InlineData(0.02)]
    [InlineData(0.06)]
    public void FlatGrain_StreaksShow_TheirSlopeNotTheFigures(double fibres)
    {
        var found = Measure((u, v) => Figure(u, v) + (9 * Streak(u, v - (fibres * u), 8)));

        Assert.Equal(GrainBasis.FibreStreaks, found.Finding!.Basis);
        Assert.InRange(Math.Abs(found.Finding.Slope.Value - fibres), 0, 0.0175);
        Assert.InRange(fibres, found.Finding.Slope.Low, found.Finding.Slope.High);
        Assert.InRange(fibres, found.Finding.WorstWindow.Low, found.Finding.WorstWindow.High);
    }

    [Fact]
    public void FlatGrain_FigureTurns_TheStreaksSlopeDoesNotFollowIt()
    {
        // The danger of streaks on flat grain is that they follow the figure: over figures of very different slope the answer must stay with the fibres.
        const double fibres = 0.02;
        double[] figures = [-0.12, 0.07, 0.12, 0.2];
        var found = figures.Select(f => Measure((u, v) => Figure(u, v, f) + (9 * Streak(u, v - (fibres * u), 8))).Finding).ToArray();

        Assert.All(found, f => Assert.InRange(fibres, f!.Slope.Low, f.Slope.High));
        var (x, y) = (figures.Average(), found.Average(f => f!.Slope.Value));
        var follows = figures.Zip(found, (f, a) => (f - x) * (a!.Slope.Value - y)).Sum() / figures.Sum(f => (f - x) * (f - x));
        Assert.InRange(follows, -0.03, 0.03);
    }

    [Fact]
    public void EdgeGrain_RingAngleNotStated_IntervalCoversARiftFace()
    {
        // A rift face may look just like this: at 30 degrees the fibres miss the lines by cot(30) = 1.7 times the adjacent slope (geometry of fibres within growth layers).
        var unstated = Measure(Lines).Finding!;
        var stated = Measure(Lines, ringAngleDeg: 82).Finding!;

        Assert.Equal(GrainBasis.RingLines, unstated.Basis);
        Assert.InRange(unstated.Slope.High, unstated.Slope.Value + (1.7 * 0.07), 1);
        Assert.InRange(stated.Slope.Value, 0.03 - 0.004, 0.03 + 0.004);
        Assert.InRange(stated.Slope.High - stated.Slope.Value, 0.004, 0.02);
    }

    [Fact]
    public void Along_Stretches_CoverTheFaceWithoutGapAndHoldTheWorst()
    {
        var found = Measure(Lines, ringAngleDeg: 82).Finding!;

        Assert.InRange(found.Along![0].FromMm, -1, 0.5);
        Assert.InRange(found.Along[^1].ToMm, 199, 201);
        Assert.All(found.Along.Zip(found.Along.Skip(1)), pair => Assert.Equal(pair.First.ToMm, pair.Second.FromMm, 6));
        Assert.Contains(found.Along, a => a.Slope == found.WorstWindow);
    }

    [Fact]
    public void LongEdge_IsADarkRingLine_TheIntervalCoversBothEdges()
    {
        // The lower edge was taken from a line that rises by 0.06 over the piece, in a scale without perspective; the fibres run along the upper edge.
        var found = Measure((u, v) => Figure(u, v) + (9 * Streak(u, v, 8)), corners: [new(0, 0), new(1599, 0), new(1599, 623), new(0, 719)]);

        if (found.Finding is { } finding)
            Assert.InRange(0, finding.Slope.Low, finding.Slope.High);
    }

    [Fact]
    public void FlatGrain_FigureAlone_CannotSayWithHandCheck()
    {
        var found = Measure(Figure);

        Assert.Null(found.Finding);
        Assert.NotEmpty(found.CannotSay!.HandCheck);
    }

    [Fact]
    public void FlatGrain_ScratchesThatRunOn_AreNotFibres()
    {
        // A sander's scratches lie along the piece over its whole length: read as fibres they would pass any slope limit.
        var found = Measure((u, v) => Figure(u, v) + (9 * Streak(0, v, 1)));

        Assert.Null(found.Finding);
    }

    [Fact]
    public void LocalAxis_EdgesConvergeInAScaleWithoutPerspective_FollowsThem()
    {
        PointPx[] corners = [new(0, 0), new(1600, 0), new(1600, 580), new(0, 720)];
        var (plane, outline) = Frame(corners);
        var axis = new LocalAxis(plane, outline);

        // The pencil of lines of the two edges: half their angle midway between them.
        Assert.Equal(0, axis.At(plane.CornersMm[0]) - Slope(plane, 0, 1), 6);
        Assert.Equal(0, axis.At(plane.CornersMm[3]) - Slope(plane, 3, 2), 6);
        Assert.Equal((Slope(plane, 0, 1) + Slope(plane, 3, 2)) / 2, axis.At(new Point2d((plane.CornersMm[0].X + plane.CornersMm[3].X) / 2, (plane.CornersMm[0].Y + plane.CornersMm[3].Y) / 2)), 3);
    }

    private static double Slope(SurfaceFrame plane, int from, int to) =>
        (plane.CornersMm[to].Y - plane.CornersMm[from].Y) / (plane.CornersMm[to].X - plane.CornersMm[from].X);

    /// <summary>Six rings that widen across the face; latewood darkens towards each boundary, which is sharp.</summary>
    private static double Figure(double u, double v) => Figure(u, v, FigureSlope);

    private static double Figure(double u, double v, double slope)
    {
        var phase = 6 * Math.Sqrt(Math.Max(0, (v - (slope * u) + 40) / 130));
        var within = phase - Math.Floor(phase);
        return 190 - (55 * within * within * within);
    }

    /// <summary>Even rings of 3 mm at a slope of 0.03.</summary>
    private static double Lines(double u, double v)
    {
        var phase = (v - (0.03 * u) + 30) / 3;
        var within = phase - Math.Floor(phase);
        return 190 - (55 * within * within * within);
    }

    /// <summary>Noise of 0.25 mm across and some mm along, -1 to 1.</summary>
    private static double Streak(double u, double across, double lengthMm)
    {
        var (x, y) = (u / lengthMm, (across + 60) / 0.25);
        var (fx, fy) = (Math.Floor(x), Math.Floor(y));
        double At(double i, double j)
        {
            var h = (uint)(((int)i * 73856093) ^ ((int)j * 19349663));
            h = (h ^ (h >> 13)) * 1274126177u;
            return (((h ^ (h >> 16)) & 0xFFFF) / 32767.5) - 1;
        }

        var (a, b) = (At(fx, fy) + ((x - fx) * (At(fx + 1, fy) - At(fx, fy))), At(fx, fy + 1) + ((x - fx) * (At(fx + 1, fy + 1) - At(fx, fy + 1))));
        return a + ((y - fy) * (b - a));
    }

    private static SlopeStageResult Measure(Func<double, double, double> grey, double? ringAngleDeg = null, PointPx[]? corners = null)
    {
        using var bgr = new Mat(720, 1600, MatType.CV_8UC3);
        var noise = new RepeatableNoise();
        var values = new byte[720 * 1600 * 3];
        for (var i = 0; i < 720 * 1600; i++)
        {
            var g = (byte)Math.Clamp(Math.Round(grey(i % 1600 / Pitch, i / 1600 / Pitch) + (2 * noise.Next())), 0, 255);
            (values[3 * i], values[(3 * i) + 1], values[(3 * i) + 2]) = (g, g, g);
        }

        System.Runtime.InteropServices.Marshal.Copy(values, 0, bgr.Data, values.Length);
        using var photo = new UprightPhoto(bgr.Clone(), new string('0', 64), []);
        var (plane, outline) = Frame(corners ?? [new(0, 0), new(1599, 0), new(1599, 719), new(0, 719)]);
        using var raster = RectifiedSurface.Resample(photo, plane, 10, 4e6);
        return SlopeStage.Measure(raster, outline, null, ringAngleDeg);
    }

    private static (SurfaceFrame Plane, PieceOutline Outline) Frame(PointPx[] corners)
    {
        using var none = new UprightPhoto(new Mat(8, 8, MatType.CV_8UC3), new string('0', 64), []);
        Assert.True(ScaleStage.Find(none, new PitchScale(Pitch), CancellationToken.None).TryGet(out var scale, out _));
        return (SurfaceFrame.Create(corners, scale), new PieceOutline(corners, true, 1, 0.0005, [true, true, true, true]));
    }

    /// <summary>About normal: twelve uniform values, less six (sum of uniforms).</summary>
    private sealed class RepeatableNoise
    {
        private uint _state = 12345;

        public double Next()
        {
            var sum = -6.0;
            for (var i = 0; i < 12; i++)
            {
                _state = (_state * 1664525) + 1013904223;
                sum += _state / 4294967296.0;
            }

            return sum;
        }
    }
}
