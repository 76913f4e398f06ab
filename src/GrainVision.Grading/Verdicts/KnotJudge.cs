using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>Sound hard knots: diameter, place and spacing (AC 43.13-1B Table 1-1 notes; ANC-19 2.426).</summary>
internal static class KnotJudge
{
    private const string Check = "Measure the knot's diameter, its distance to both edges and to the next knot or defect with a rule; tap it: it must be sound and hard.";

    internal static (VerdictOutcome Outcome, string Why, string? Check) InBeam(KnotInBeam limit, Measurement m, BlemishFinding b)
    {
        var size = DecisionRule.AtMost(b.DiameterMm, limit.LargestDiameterIn * Units.MmPerInch);
        var place = BlemishPlace.InMiddle(m, b, limit.MiddleShare);
        var spacing = Spacing(limit, m, b);
        var outcome = DecisionRule.Gravest([size, place, spacing]);
        var caution = DecisionRule.AtMost(b.DiameterMm, limit.CautionAboveIn * Units.MmPerInch) == VerdictOutcome.Accept ? "" : ", use with caution";
        return (
            outcome,
            $"diameter against {ReasonText.Inches(limit.LargestDiameterIn)} {ReasonText.Word(size)}, middle {ReasonText.Percent(limit.MiddleShare)} of the width {ReasonText.Word(place)}, "
                + $"spacing {ReasonText.Inches(limit.SpacingInFor(b.DiameterMm.Value / Units.MmPerInch))} {ReasonText.Word(spacing)}{caution}",
            Check);
    }

    internal static (VerdictOutcome Outcome, string Why, string? Check) InSmallPart(KnotInSmallPart limit, Measurement m, BlemishFinding b)
    {
        var place = BlemishPlace.InMiddle(m, b, limit.MiddleShare);
        var size = m.Size?.SecondSideMm is { } width && DecisionRule.IsUsable(width)
            ? DecisionRule.AtMost(b.DiameterMm, limit.LargestShareOfWidth * width.Value)
            : VerdictOutcome.Hold;
        // Whether the face is flat-sawn decides as well, and only the end shows that: never an accept from the face alone.
        var outcome = DecisionRule.Gravest([size, place, VerdictOutcome.Hold]);
        return (
            outcome,
            $"diameter against {ReasonText.Percent(limit.LargestShareOfWidth)} of the face's width {ReasonText.Word(size)}, middle {ReasonText.Percent(limit.MiddleShare)} {ReasonText.Word(place)}, "
                + "allowed on a flat-sawn face only",
            Check);
    }

    private static VerdictOutcome Spacing(KnotInBeam limit, Measurement m, BlemishFinding b)
    {
        if (BlemishPlace.ToNext(m, b, _ => true) is not { } next)
            return VerdictOutcome.Accept;
        double Needed(double diameterMm) => limit.SpacingInFor(diameterMm / Units.MmPerInch) * Units.MmPerInch;
        if (DecisionRule.AtLeast(next, Needed(b.DiameterMm.High)) == VerdictOutcome.Accept)
            return VerdictOutcome.Accept;
        return DecisionRule.AtLeast(next, Needed(b.DiameterMm.Low)) == VerdictOutcome.Reject ? VerdictOutcome.Reject : VerdictOutcome.Hold;
    }
}
