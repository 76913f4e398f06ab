using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>Finds, sizes and names blemish candidates on an end or a face.</summary>
internal static class BlemishStage
{
    /// <param name="raster">The surface at <see cref="LineBackground.PitchPxPerMm"/> or less.</param>
    /// <param name="view">End or face.</param>
    /// <param name="lineRad">Direction of the growth lines.</param>
    /// <param name="bendPerMm">Their curvature.</param>
    /// <param name="scaleRelative">Relative standard uncertainty of the scale.</param>
    public static IReadOnlyList<BlemishFinding> Find(
        SectionRaster raster, View view, Func<Point2d, double> lineRad, Func<Point2d, double> bendPerMm, double scaleRelative)
    {
        using var darkness = LineBackground.Darkness(raster, lineRad, bendPerMm);
        return [.. CandidateFinder.Find(raster, darkness).Select(c => Finding(c, raster, view, scaleRelative))];
    }

    /// <summary>
    /// Mask of the raster's size, 255 where a candidate lies and where the grain flows round it: half its own width to either side, two
    /// widths along the grain. The caller disposes it.
    /// </summary>
    public static Mat LeaveOut(SectionRaster raster, IReadOnlyList<BlemishFinding> blemishes)
    {
        var mask = new Mat(raster.Grey.Height, raster.Grey.Width, MatType.CV_8UC1, Scalar.All(0));
        foreach (var b in blemishes)
        {
            var at = raster.FromMm(new Point2d(b.AlongMm, b.AcrossMm));
            var (along, across) = ((b.LengthMm / 2) + (2 * b.WidthMm), b.WidthMm);
            Cv2.Ellipse(
                mask, new Point((int)at.X, (int)at.Y),
                new Size((int)Math.Ceiling(along * raster.PitchPxPerMm), (int)Math.Ceiling(across * raster.PitchPxPerMm)), 0, 0, 360, Scalar.All(255), -1);
        }

        return mask;
    }

    private static BlemishFinding Finding(BlemishCandidate c, SectionRaster raster, View view, double scaleRelative)
    {
        var (kind, probability) = BlemishNaming.Name(c, view);
        var (u, v) = ((c.RimMm.Min(p => p.X) + c.RimMm.Max(p => p.X)) / 2, (c.RimMm.Min(p => p.Y) + c.RimMm.Max(p => p.Y)) / 2);
        // A rim read off a blurred threshold may lie a pixel and a half millimetre in or out, on both sides.
        double U(double mm) => Math.Sqrt(Math.Pow(0.7 + (1 / raster.PitchPxPerMm), 2) + Math.Pow(mm * scaleRelative, 2) + Math.Pow(0.1 * mm, 2));
        Measured Size(double mm) => Measured.FromStandardUncertainty(mm, U(mm)).ClampTo(0, double.MaxValue);
        var every = Math.Max(1, c.RimMm.Count / 48);
        return new BlemishFinding(
            kind, Math.Round(probability, 3), raster.Plane.ToPx(new Point2d(u, v)), Size(c.Shape.WidthMm), Size(c.Shape.DiameterMm),
            Math.Round(c.Shape.LengthMm, 2), Math.Round(c.Shape.WidthMm, 2), Math.Round(c.InsideMm, 2),
            [.. c.RimMm.Where((_, i) => i % every == 0).Select(raster.Plane.ToPx)])
        {
            AlongMm = Math.Round(u, 2),
            AcrossMm = Math.Round(v, 2),
        };
    }
}
