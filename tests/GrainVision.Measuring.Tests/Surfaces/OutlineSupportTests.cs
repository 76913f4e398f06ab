using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Section;
using GrainVision.Measuring.Surfaces;
using GrainVision.Synthesis;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Surfaces;

/// <summary>Outlines that are wrong by millimetres are told from right ones. Drawn wood: exact truth; seeds on which nothing was tuned.</summary>
public sealed class OutlineSupportTests
{
    [Theory]
    [InlineData(620_001, View.End)]
    [InlineData(620_007, View.End)]
    [InlineData(620_002, View.Face)]
    [InlineData(620_008, View.Face)]
    public void TrueOutline_IsSupported_AndASideMovedByThreeMillimetresIsNot(int seed, View view)
    {
        var made = Synthesiser.Make(new SceneRequest { Seed = seed, View = view, Difficulty = Difficulty.Easy, Megapixels = 1 });
        using var photo = PhotoIntake.Decode(made.ToPng(), IntakeLimits.Default, CancellationToken.None).Found!;
        var scale = PhotoScale.Uniform(new ScaleFinding(ScaleKind.Pitch, Measured.Exact(made.Truth.Scale.PixelsPerMm)));
        var outline = made.Truth.Outline;
        var plane = SurfaceFrame.Create(outline, scale);
        var seen = 0;
        foreach (var (share, k) in Support(photo, outline, scale, view).Select((s, k) => (s, k)))
        {
            if (share is not { } supported)
                continue;
            seen++;
            Assert.InRange(supported, 0.95, 1);
            foreach (var byMm in new[] { -3.0, 3.0 })
            {
                var (a, b) = (plane.CornersMm[k], plane.CornersMm[(k + 1) % 4]);
                var across = new Point2d(-(b - a).Y, (b - a).X) * (byMm / a.DistanceTo(b));
                PointPx[] moved = [.. outline];
                (moved[k], moved[(k + 1) % 4]) = (plane.ToPx(a + across), plane.ToPx(b + across));
                Assert.True(Support(photo, moved, scale, view)[k] is null or < 0.5, $"side {k} moved by {byMm} mm");
            }
        }

        Assert.True(seen >= 2);
    }

    /// <summary>
    /// The plate of R. B. Hough's birch section (fixtures/registry.json) shows no bench: what is found as its outline runs through the wood and leaves two of its open cracks outside.
    /// </summary>
    [Fact]
    public void RealPlateWithoutABench_OutlineFoundThroughTheWood_IsDoubtedAndHeld()
    {
        RuleBookSet.Embedded.TryGet("spar", out var book);
        var outcome = MeasureJob.Run(
            File.ReadAllBytes(Fixtures.PathOf("photos/face-american-birch-flat-sawn.jpg")), new MeasuringRequest { View = View.Face, Scale = new PitchScale(8), RingAngleDegrees = 85 }, book, IntakeLimits.Default, CancellationToken.None);
        var m = outcome.Found!;
        Assert.True(m.CannotSay.Any(c => c.What == CannotSayTopic.Outline) || m.Warnings.Any(w => w.Code is WarningCode.PieceFillsPhoto or WarningCode.PieceRunsOffPhoto), string.Join(" ", m.Outline));
        Assert.NotEqual(VerdictOutcome.Accept, m.Verdict!.Outcome);
    }

    private static IReadOnlyList<double?> Support(UprightPhoto photo, IReadOnlyList<PointPx> outline, PhotoScale scale, View view)
    {
        var plane = SurfaceFrame.Create(outline, scale);
        using var picture = SurfacePicture.Resample(photo, plane, view);
        return OutlineSupport.OfSides(SurfaceNetwork.Embedded(view).Read(picture), plane, arris: null, photo);
    }
}
