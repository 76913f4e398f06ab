using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Scale;

/// <summary>
/// Against a pinhole camera's own equations (R. Hartley, A. Zisserman, Multiple View Geometry, 2nd ed., 2003, ch. 8: a plane's homography is K [r1 r2 t]): focal length 3,000 px, 600 mm
/// from a rule's plane, tilted by 12 degrees; the wood lies 50 mm nearer.
/// </summary>
public sealed class PlaneOffsetTests
{
    private const double Focal = 3000, Distance = 600, Below = 50;

    [Fact]
    public void PlaneNearerByFifty_LengthsAreThoseOfTheCamera()
    {
        var (rule, wood) = (MmFromPx(Distance), MmFromPx(Distance - Below));
        using var photo = Photo(Focal);
        var middle = new PointPx(2000, 1500);
        var scale = PhotoScale.Uniform(new ScaleFinding(ScaleKind.Rule, Measured.FromStandardUncertainty(1 / rule.MagnificationAt(middle), 0.005))) with { MmFromPx = rule.RowMajor };
        Assert.True(PlaneOffset.Apply(scale, Below, photo).TryGet(out var corrected, out _));
        var (a, b) = (new PointPx(1500, 1400), new PointPx(2600, 1700));
        double Length(PhotoScale s) => s.ToMm(a).DistanceTo(s.ToMm(b));
        var truth = Length(scale with { MmFromPx = wood.RowMajor });
        // 12 degrees of tilt bring the rule's plane 2 % nearer along its normal than along the axis.
        Assert.Equal(1, Length(corrected!) / truth, 0.003);
        Assert.True(Length(scale) / truth > 1.08); // what it would have been
        Assert.InRange(corrected!.Finding.PixelsPerMm.Value / scale.Finding.PixelsPerMm.Value, 1.085, 1.1);
        Assert.Equal(Below, corrected.Finding.BelowMm);
    }

    /// <summary>Without the lens's focal length the interval says how little is known: 8 % of height over distance, a third of it in doubt.</summary>
    [Fact]
    public void FocalLengthUnknown_TheIntervalSaysSo()
    {
        var scale = PhotoScale.Uniform(new ScaleFinding(ScaleKind.Rule, Measured.FromStandardUncertainty(5, 0.005)));
        double Relative(double? focal)
        {
            using var photo = Photo(focal);
            Assert.True(PlaneOffset.Apply(scale, Below, photo).TryGet(out var corrected, out _));
            return corrected!.Finding.PixelsPerMm.StandardUncertainty / corrected.Finding.PixelsPerMm.Value;
        }

        Assert.InRange(Relative(Focal), 0.003, 0.006);
        Assert.InRange(Relative(null), 0.02, 0.03);
    }

    [Theory]
    [InlineData(200)]
    [InlineData(-200)]
    public void HeightThatCannotBe_IsRefused(double belowMm)
    {
        using var photo = Photo(Focal);
        var scale = PhotoScale.Uniform(new ScaleFinding(ScaleKind.Rule, Measured.Exact(5)));
        Assert.False(PlaneOffset.Apply(scale, belowMm, photo).TryGet(out _, out var refusal));
        Assert.Equal("scale-below-absurd", refusal.Code);
    }

    private static UprightPhoto Photo(double? focal) => new(new Mat(3000, 4000, MatType.CV_8UC3, Scalar.All(0)), "", []) { WholeFocalPx = focal };

    /// <summary>px to mm of the plane whose normal meets the lens <paramref name="distanceMm"/> from it, tilted about x.</summary>
    private static Homography MmFromPx(double distanceMm)
    {
        var (cos, sin) = (Math.Cos(Units.DegToRad(12)), Math.Sin(Units.DegToRad(12)));
        // Plane's axes in the camera's frame: x, and y turned by the tilt; its origin lies at distance along the normal (0, -sin, cos).
        var pxFromMm = new Homography(
        [
            Focal + 0, 2000 * sin, 2000 * cos * distanceMm,
            0, (Focal * cos) + (1500 * sin), (-Focal * sin * distanceMm) + (1500 * cos * distanceMm),
            0, sin, cos * distanceMm,
        ]);
        return pxFromMm.Inverse();
    }
}
