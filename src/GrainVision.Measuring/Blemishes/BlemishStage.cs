using GrainVision.Grading.Findings;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>What was found on a surface.</summary>
/// <param name="Reported">Likely enough to be blemishes that a person must look: the verdict takes every one of them.</param>
/// <param name="Dismissed">Odd to the eye, but hardly a blemish; likeliest first.</param>
internal sealed record BlemishSighting(IReadOnlyList<BlemishFinding> Reported, IReadOnlyList<BlemishFinding> Dismissed);

/// <summary>Finds, names and sizes blemishes on an end or a face.</summary>
internal static class BlemishStage
{
    /// <summary>20: dismissed marks that are listed; the rest are fainter still.</summary>
    internal const int MostDismissed = Measurement.MostDismissedMarks;

    /// <summary>Candidates with their features: what the classifier sees, and what it is trained on.</summary>
    /// <param name="photo">The photo: colours are taken from it.</param>
    /// <param name="raster">The surface at <see cref="LineBackground.PitchPxPerMm"/> or less.</param>
    /// <param name="view">End or face.</param>
    /// <param name="lineRad">Direction of the growth lines.</param>
    /// <param name="bendPerMm">Their curvature.</param>
    public static (IReadOnlyList<BlemishCandidate> Candidates, IReadOnlyList<float[]> Features) Look(
        UprightPhoto photo, RectifiedSurface raster, View view, Func<Point2d, double> lineRad, Func<Point2d, double> bendPerMm)
    {
        var surface = SurfaceChannels.Of(photo, raster, lineRad, bendPerMm);
        return Look(surface, raster, view);
    }

    private static (IReadOnlyList<BlemishCandidate> Candidates, IReadOnlyList<float[]> Features) Look(SurfaceChannels surface, RectifiedSurface raster, View view)
    {
        var candidates = CandidateFinder.Find(raster, surface);
        return (candidates, BlemishFeatures.Of(surface, candidates, view));
    }

    /// <summary>Looks, names, joins the pieces of one blemish, and sizes it.</summary>
    /// <param name="photo">The photo.</param>
    /// <param name="raster">The surface at <see cref="LineBackground.PitchPxPerMm"/> or less.</param>
    /// <param name="view">End or face.</param>
    /// <param name="lineRad">Direction of the growth lines.</param>
    /// <param name="bendPerMm">Their curvature.</param>
    /// <param name="scaleRelative">Relative standard uncertainty of the scale.</param>
    public static BlemishSighting Find(
        UprightPhoto photo, RectifiedSurface raster, View view, Func<Point2d, double> lineRad, Func<Point2d, double> bendPerMm, double scaleRelative)
    {
        var classifier = BlemishClassifier.Embedded;
        var surface = SurfaceChannels.Of(photo, raster, lineRad, bendPerMm);
        var (candidates, features) = Look(surface, raster, view);
        var named = candidates.Zip(classifier.Classify(features), (c, p) => new NamedCandidate(c, p)).ToList();
        var reportFrom = classifier.Calibration.ReportFrom;
        var sizer = new BlemishSizer(surface, raster, view, scaleRelative);
        var reported = BlemishJoining.Join([.. named.Where(n => BlemishCalibration.Reports(reportFrom, n.Probabilities))]);
        var dismissed = named.Where(n => !BlemishCalibration.Reports(reportFrom, n.Probabilities)).OrderByDescending(n => n.BlemishProbability).Take(MostDismissed);
        return new BlemishSighting(
            [.. reported.OrderByDescending(n => n.Candidate.Shape.LongestMm * n.BlemishProbability).Select(sizer.Finding)],
            [.. dismissed.Select(sizer.Finding)]);
    }

    /// <summary>
    /// Mask of the raster's size, 255 where a blemish lies and where the grain flows round it: half its own width to either side, two
    /// widths along the grain. The caller disposes it.
    /// </summary>
    public static Mat LeaveOut(RectifiedSurface raster, IReadOnlyList<BlemishFinding> blemishes)
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
}
