using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// From a rule that was read to the photo's scale at the middle of the picture, where the piece most likely is, with the perspective of
/// the rule's plane.
/// </summary>
/// <remarks>
/// Terms of the uncertainty: the fit of the graduations, carried along the row; the fan of the graduations (<see cref="SteelRulePlane"/>),
/// carried across from the row; the higher terms of the lens; the focal length that is not known; the rule's own graduation and its plane (<see cref="ScaleUncertaintyBudget"/>).
/// </remarks>
internal static class SteelRuleScaleMaker
{
    /// <summary>A third of the distortion that was found: one term does not describe a lens fully. Our judgement.</summary>
    private const double LensDoubt = 0.33;

    /// <summary>
    /// 0.15 of the foreshortening: the focal length is known to about 15 %, which counts twice in how much of the tilt shortens, and half in the mean of both
    /// directions.
    /// </summary>
    private const double FocalDoubt = 0.15;

    /// <summary>5 %: a scale worse than this helps nobody.</summary>
    private const double GreatestRelative = 0.05;

    /// <summary>1.5: of a tilted plane the scale along the tilt changes twice as fast as across it.</summary>
    private const double MeanGradient = 1.5;

    private const string UnitAssumed =
        "The rule was read as millimetres by custom: an engineer's scale with 20 or 30 parts to the inch looks the same. State the rule's unit, or lay the printed card.";

    /// <summary>Marks for the picture.</summary>
    private const int GreatestMarks = 60;

    public static Outcome<PhotoScale> Make(Mat gray, SteelRuleReading reading, SteelRuleUnitBasis basis)
    {
        var geometry = reading.Geometry;
        var middle = new PointPx((gray.Width - 1) / 2.0, (gray.Height - 1) / 2.0);
        var mmFromPx = geometry.Plane.PxFromMm.Inverse();
        var atRule = geometry.TickPoints[geometry.TickPoints.Count / 2];
        if (Math.Sign(mmFromPx.Depth(middle)) != Math.Sign(mmFromPx.Depth(atRule)))
            return ScaleRefusals.RuleUneven();

        var pitch = 1 / mmFromPx.MagnificationAt(middle);
        var fit = geometry.Fit;
        var tilt = FocalDoubt * (mmFromPx.StretchAt(middle) - 1);
        double RelativeAt(PointPx p)
        {
            var (index, across) = geometry.Beside(p);
            var along = fit.RelativeUncertaintyAt(index);
            var away = MeanGradient * geometry.Plane.FanSigma * across;
            var lens = LensDoubt * fit.K1 * Math.Pow(fit.Lens.OffsetV / fit.Lens.Radius, 2);
            return ScaleUncertaintyBudget.Combine(along, away, lens, tilt, ScaleUncertaintyBudget.RuleGraduation, ScaleUncertaintyBudget.OutOfPlane);
        }

        var relative = RelativeAt(middle);
        if (!ScaleUncertaintyBudget.IsPitchBelievable(pitch) || !(relative <= GreatestRelative))
            return ScaleRefusals.RuleUneven();

        var marks = Thin(geometry.TickPoints);
        return new PhotoScale(
            new ScaleFinding(
                ScaleKind.Rule, Measured.FromStandardUncertainty(pitch, pitch * relative), reading.Verdict.Best.Unit,
                Math.Min(reading.Verdict.Probability, 0.999), marks) { UnitBasis = basis },
            mmFromPx.RowMajor,
            [geometry.Quad])
        {
            RelativeAt = RelativeAt,
            LensK1 = ScaleUncertaintyBudget.Combine(fit.K1, fit.K1Sigma),
            Warnings = basis == SteelRuleUnitBasis.Assumed ? [new(WarningCode.RuleUnitAssumed, UnitAssumed)] : [],
        };
    }

    private static PointPx[] Thin(IReadOnlyList<PointPx> points)
    {
        var every = (points.Count + GreatestMarks - 1) / GreatestMarks;
        return points.Where((_, i) => i % every == 0).ToArray();
    }
}
