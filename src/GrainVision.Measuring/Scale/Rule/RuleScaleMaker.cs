using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.Rule;

/// <summary>
/// From a rule that was read to the photo's scale at the rule's place nearest to the middle of the picture, where the piece most likely is.
/// </summary>
/// <remarks>
/// Terms of the uncertainty: the fit of the graduations; the rule's own graduation and its plane (<see cref="ScaleTerms"/>); and
/// tilt, of which a rule shows only the part along itself. A camera held by hand is taken to be off by 2.5 degrees (standard
/// uncertainty, our judgement) in the direction that the rule does not show, and by half of what it is seen to be off along the rule; the scale then
/// changes by 1.5 tan(tilt) / focal length a pixel away from the rule.
/// </remarks>
internal static class RuleScaleMaker
{
    /// <summary>0.8 of the long side: main cameras of phones, 24 to 28 mm on a 36 mm frame.</summary>
    private const double FocalShare = 0.8;

    /// <summary>2.5 degrees: how square to the rule a careful person holds a phone.</summary>
    private const double HandTiltDeg = 2.5;

    /// <summary>0.02 px: no graduation is located better, however small the residual.</summary>
    private const double LeastSigmaPx = 0.02;

    /// <summary>5 %: a scale worse than this helps nobody.</summary>
    private const double GreatestRelative = 0.05;

    /// <summary>Marks for the picture.</summary>
    private const int GreatestMarks = 60;

    public static Outcome<PhotoScale> Make(Mat gray, RuleReading reading)
    {
        var geometry = reading.Geometry;
        var step = reading.Verdict.Best.StepMm;
        var middle = new PointPx((gray.Width - 1) / 2.0, (gray.Height - 1) / 2.0);
        var (index, across, beyond) = geometry.Nearest(middle);
        var spacing = geometry.SpacingPhotoPx(index);
        var pitch = spacing / step;

        var fitted = geometry.Fit.RelativeUncertaintyAt(index, Math.Max(geometry.Fit.Residual, LeastSigmaPx));
        var focal = FocalShare * Math.Max(gray.Width, gray.Height);

        // Along a plane tilted by t the spacing changes by 2 tan(t) / f a pixel, and shrinks by about cos(t).
        var seenTilt = Math.Abs(geometry.Fit.GradientAt(index)) / spacing * focal / 2;
        var tilt = ScaleTerms.Combine(Math.Tan(Units.DegToRad(HandTiltDeg)), 0.5 * seenTilt);
        var away = ScaleTerms.Combine(across, beyond) * 1.5 * tilt / focal;
        var relative = ScaleTerms.Combine(fitted, away, 0.5 * seenTilt * seenTilt, ScaleTerms.RuleGraduation, ScaleTerms.OutOfPlane);
        if (!ScaleTerms.IsPitchBelievable(pitch) || !(relative <= GreatestRelative))
            return ScaleRefusals.RuleUneven();

        var marks = Thin(geometry.TickPoints);
        return new PhotoScale(
            new ScaleFinding(
                ScaleKind.Rule, Measured.FromStandardUncertainty(pitch, pitch * relative), reading.Verdict.Best.Unit,
                Math.Min(reading.Verdict.Probability, 0.999), marks),
            null,
            [geometry.Quad]);
    }

    private static PointPx[] Thin(IReadOnlyList<PointPx> points)
    {
        var every = (points.Count + GreatestMarks - 1) / GreatestMarks;
        return points.Where((_, i) => i % every == 0).ToArray();
    }
}
