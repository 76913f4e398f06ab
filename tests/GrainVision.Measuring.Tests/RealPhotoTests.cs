using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;

namespace GrainVision.Measuring.Tests;

/// <summary>Real photographs of fixtures/photos against what an eye counts on them (truth and credit in fixtures/registry.json).</summary>
public sealed class RealPhotoTests
{
    [Fact]
    public void RingCloseup_ThirteenClearRings_AllFoundWithinTolerance()
    {
        // Counted by eye on the line y = 209 from an enlarged view, tolerance 4 px (eye_counts.json of the shared data); the path
        // crosses near that line, and the boundaries there are within a few degrees of upright, so 8 px are allowed.
        double[] strong = [70, 130, 193, 240, 286, 407, 440, 478, 519, 558, 592, 624, 647];
        var m = Measure("ring-closeup.png", new MeasuringRequest
        {
            View = View.End, Species = "white-spruce", Outline = Corners(679, 416), Scale = new PitchScale(20),
        });

        Assert.NotNull(m.Rings);
        Assert.All(strong, x => Assert.Contains(m.Rings.Boundaries, b => Math.Abs(b.X - x) <= 8));
        // Two faint light rings more may be found, no others.
        Assert.InRange(m.Rings.Boundaries.Count, 13, 15);
        Assert.Equal(Cut.QuarterSawn, m.RingAngle!.Cut);
    }

    [Fact]
    public void BoardEnd_OutlineAndSizeGiven_TenRingsRiftSawnWithPithOutside()
    {
        // One end of the stack; by eye nine to eleven rings along the radius, arcs that turn from steep on the left to flat on the right. At 1.7 px/mm the narrow ones are under
        // three pixels, so a refusal would be an answer too; a wrong count would not.
        var m = Measure("board-ends.jpg", new MeasuringRequest
        {
            View = View.End, Outline = [new(490, 341), new(638, 344), new(638, 378), new(490, 375)], Scale = new OutlineSizeScale(88, 20),
        });

        if (m.Rings is { } rings)
            Assert.InRange(rings.Count, 9, 11);
        else
            Assert.Contains(m.CannotSay, c => c.What == CannotSayTopic.Rings && c.HandCheck.Contains("Count the rings by hand", StringComparison.Ordinal));
        Assert.InRange(m.RingAngle!.Degrees.Value, 45, 56);
        Assert.False(m.RingAngle.Pith!.Boxed);
    }

    [Theory]
    [InlineData("face-balsam-fir-flat-sawn.jpg", 549)]
    [InlineData("face-american-basswood-flat-sawn.jpg", 539)]
    [InlineData("face-alligator-juniper-flat-sawn.jpg", 541)]
    [InlineData("face-atlantic-white-cedar-flat-sawn.jpg", 509)]
    public void FlatSawnFace_CathedralFigure_IsNeverReadAsSlope(string file, int last)
    {
        // Cut as the plates state it (Hough). ANC-19 2.3206: spiral grain does not show in the cathedral figure.
        var m = Measure(file, Face(last));

        Assert.NotEqual(GrainBasis.RingLines, m.Grain?.Basis);
        Assert.True(m.Grain is not null || m.CannotSay.Any(c => c.What == CannotSayTopic.Grain && c.HandCheck.Length > 0));
    }

    [Fact]
    public void QuarterSawnFace_BaldCypress_SlopeAsTheEyeSeesIt()
    {
        // Read by eye off the plate with a straight edge: the lines rise slightly to the right.
        var m = Measure("face-baldcypress-quarter-sawn.jpg", Face(514) with { RingAngleDegrees = 85 });

        Assert.InRange(m.Grain!.Slope.Value, -0.03, 0.0);
        Assert.Equal(GrainBasis.RingLines, m.Grain.Basis);
    }

    [Fact]
    public void QuarterSawnFace_FaintDiffusePorousLines_CannotSayRatherThanGuess()
    {
        // Yellow buckeye shows hardly any ring line; by eye its fibres fall about 1 in 12. An answer must hold that, or there must be none.
        var m = Measure("face-yellow-buckeye-quarter-sawn.jpg", Face(515) with { RingAngleDegrees = 85 });

        if (m.Grain is { } grain)
            Assert.InRange(1 / 12.0, grain.Slope.Low, grain.Slope.High);
        else
            Assert.Contains(m.CannotSay, c => c.What == CannotSayTopic.Grain);
    }

    private static MeasuringRequest Face(int last) => new() { View = View.Face, Outline = Corners(last, last), Scale = new PitchScale(8) };

    private static PointPx[] Corners(double x, double y) => [new(0, 0), new(x, 0), new(x, y), new(0, y)];

    private static Measurement Measure(string file, MeasuringRequest request)
    {
        var outcome = MeasureJob.Run(File.ReadAllBytes(Fixtures.PathOf("photos/" + file)), request, null, IntakeLimits.Default, CancellationToken.None);
        Assert.True(outcome.Found is not null, outcome.Refusal?.Message);
        return outcome.Found;
    }
}
