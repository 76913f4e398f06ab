using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Angle;
using GrainVision.Measuring.Orientation;
using GrainVision.Measuring.Rings;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Rings;

/// <summary>Plain geometry: a section of 80 x 40 mm at 10 px/mm with straight rings, and rectangles laid across its radius.</summary>
public sealed class BlemishCoverTests
{
    private static readonly SurfaceFrame Plane = SurfaceFrame.Create(
        [new(0, 0), new(800, 0), new(800, 400), new(0, 400)],
        PhotoScale.Uniform(new ScaleFinding(ScaleKind.Pitch, Measured.FromStandardUncertainty(10, 0.01))));

    private static readonly RadialPath Path = RadialPath.Follow(new RingField(new Point2d(40, 20), 45, 0, 0, []), Plane, Plane.MiddleMm, 0.1, 0.05);

    [Fact]
    public void Rings_NoBlemish_NoneCovered() => Assert.Equal(0, BlemishCover.Compute(Plane, Path, 10, []).Rings(0, 80, 2));

    /// <summary>10 mm of the radius hold 5 rings of 2 mm; a rim of 0.33 mm at both ends and steps of 0.5 mm make it 11.5 mm at most. Straight rings are walked from +u to -u.</summary>
    [Fact]
    public void Rings_StampAcrossTheWholeStrip_RingsUnderIt()
    {
        var cover = BlemishCover.Compute(Plane, Path, 10, [Blemish(300, 50, 400, 350)]);

        Assert.InRange(cover.Rings(0, 80, 2), 5, 5.76);
    }

    [Fact]
    public void Rings_OtherWindow_NoneCovered()
    {
        var cover = BlemishCover.Compute(Plane, Path, 10, [Blemish(300, 50, 400, 350)]);

        Assert.Equal(0, cover.Rings(52, 80, 2));
        Assert.Equal(0, cover.Rings(0, 38, 2));
    }

    [Fact]
    public void Rings_HalfTheStripCovered_HalfTheRings()
    {
        var cover = BlemishCover.Compute(Plane, Path, 10, [Blemish(300, 202, 400, 350)]);

        Assert.InRange(cover.Rings(0, 80, 2), 2.0, 3.3);
    }

    private static BlemishFinding Blemish(double x0, double y0, double x1, double y1) => new(
        BlemishKind.Knot, 1, new PointPx((x0 + x1) / 2, (y0 + y1) / 2), Measured.Exact(10), Measured.Exact(10), 10, 10, 5,
        [new(x0, y0), new(x1, y0), new(x1, y1), new(x0, y1)]);
}
