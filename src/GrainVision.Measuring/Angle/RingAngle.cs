using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Orientation;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Angle;

/// <summary>Ring angle, cut and pith from a fitted ring field.</summary>
internal static class RingAngle
{
    /// <summary>3: a curvature under three standard uncertainties could as well be straight: the pith cannot be placed.</summary>
    private const double PithFromSigmas = 3;

    /// <summary>
    /// 0.65: share of what the outline is out of true (long sides that converge, corners that are not square) that goes into the angle as its standard uncertainty. A
    /// sawn piece is square; where it does not come out so, perspective is left over or a side was taken wrong, and the rings are turned about as much.
    /// </summary>
    private const double OutOfTrue = 0.65;

    /// <param name="fit">Fitted normals.</param>
    /// <param name="plane">The section; +u runs along the wide face.</param>
    /// <param name="axisUncertaintyRad">Standard uncertainty of the wide face's direction.</param>
    /// <param name="scaleRelative">Relative standard uncertainty of the scale, for the pith's distance.</param>
    public static RingAngleFinding Find(RingFieldFit fit, SurfaceFrame plane, double axisUncertaintyRad, double scaleRelative)
    {
        var field = fit.Field;
        var middle = OfNormal(fit.MiddleNormalRad);
        var u = Units.RadToDeg(Math.Sqrt(Math.Pow(fit.MiddleUncertaintyRad, 2) + Math.Pow(axisUncertaintyRad, 2)
            + Math.Pow(OutOfTrue * plane.SideSkewRad, 2) + Math.Pow(OutOfTrue * plane.OutOfSquareRad, 2)));
        var (least, greatest) = Range(field, plane);
        var pith = Pith(fit, plane, scaleRelative);
        return new RingAngleFinding(
            Measured.FromStandardUncertainty(middle, u).ClampTo(0, 90), Math.Min(least, middle), Math.Max(greatest, middle), CutClass.From(middle), pith);
    }

    /// <summary>Angle between the tangent (across the normal) and the +u axis, folded to 0-90 degrees.</summary>
    internal static double OfNormal(double normalRad)
    {
        var tangent = Math.Abs(Math.IEEERemainder(normalRad + (Math.PI / 2), Math.PI));
        return Units.RadToDeg(tangent);
    }

    private static (double Least, double Greatest) Range(RingField field, SurfaceFrame plane)
    {
        const int grid = 24;
        var (least, greatest) = (90.0, 0.0);
        var c = plane.CornersMm;
        for (var i = 0; i <= grid; i++)
        {
            for (var j = 0; j <= grid; j++)
            {
                var (a, b) = ((double)i / grid, (double)j / grid);
                var p = new Point2d(
                    ((1 - b) * (((1 - a) * c[0].X) + (a * c[1].X))) + (b * (((1 - a) * c[3].X) + (a * c[2].X))),
                    ((1 - b) * (((1 - a) * c[0].Y) + (a * c[1].Y))) + (b * (((1 - a) * c[3].Y) + (a * c[2].Y))));
                var angle = OfNormal(field.NormalRad(p));
                (least, greatest) = (Math.Min(least, angle), Math.Max(greatest, angle));
            }
        }

        return (least, greatest);
    }

    private static PithFinding? Pith(RingFieldFit fit, SurfaceFrame plane, double scaleRelative)
    {
        var curvature = Math.Abs(fit.Field.CurvaturePerMm);
        var u = Math.Max(fit.CurvatureUncertaintyPerMm, curvature * scaleRelative);
        if (fit.Field.PithMm is not { } pithMm || curvature < PithFromSigmas * u)
            return null;
        var px = plane.ToPx(pithMm);
        var half = Measured.CoverageFactor * u;
        return new PithFinding(
            Math.Round(px.X, 1), Math.Round(px.Y, 1), new Measured(1 / curvature, 1 / (curvature + half), 1 / (curvature - half)))
        {
            Boxed = plane.InsideByMm(pithMm) > 0,
        };
    }
}
