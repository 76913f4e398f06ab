using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>Knots of a face by diameter, place across the face and distance to the next blemish.</summary>
internal static class KnotJudge
{
    private const string MeasureKnot = "Measure the knot's diameter by hand: the knot proper, without the distorted grain round it (ANC-19 2.4201).";

    internal static LimitFindings Judge(KnotInBeam limit, Measurement m)
    {
        var judged = BlemishJudge.EachOnFace(limit, m, limit.Covers, b => [Diameter(limit, b), Middle(m, b, limit.MiddleShare, "centre third"), .. Spacing(limit, m, b)]);
        var large = m.Blemishes.Any(b => b.Kind == BlemishKind.Knot && !(BlemishPlace.Extent(b) is var e && DecisionRule.IsUsable(e)
            && e.High <= limit.CautionAboveIn * Units.MmPerInch));
        return large
            ? judged with { Cautions = [$"A knot above {ReasonText.Inches(limit.CautionAboveIn)} in diameter is to be used with caution ({limit.MainSource})."] }
            : judged;
    }

    internal static LimitFindings Judge(KnotInSmallPart limit, Measurement m) => BlemishJudge.EachOnFace(limit, m, limit.Covers, b =>
    [
        ShareOfWidth(limit, m, b),
        Middle(m, b, limit.MiddleShare, "middle half"),
        new BlemishPart(VerdictOutcome.Hold, "permitted on a flat-sawn face only, and one face does not show its cut", "cut",
            HandCheck: "See on the ends whether this face is flat-sawn: only there is a knot permitted."),
    ]);

    private static BlemishPart Diameter(KnotInBeam limit, BlemishFinding b)
    {
        var limitMm = limit.LargestDiameterIn * Units.MmPerInch;
        var extent = BlemishPlace.Extent(b);
        var outcome = DecisionRule.AtMost(extent, limitMm);
        var shown = outcome == VerdictOutcome.Reject ? b.DiameterMm : extent;
        return new BlemishPart(outcome, $"diameter {ReasonText.Mm(shown, limitMm)} against at most {ReasonText.Inches(limit.LargestDiameterIn)}: {ReasonText.Word(outcome)}",
            "diameterMm", shown, limitMm, MeasureKnot);
    }

    private static BlemishPart ShareOfWidth(KnotInSmallPart limit, Measurement m, BlemishFinding b)
    {
        if (m.Size?.SecondSideMm is not { } width || !DecisionRule.IsUsable(width))
            return new BlemishPart(VerdictOutcome.Hold, "the width of this face is not known", "diameterMm", HandCheck: MeasureKnot);
        var extent = BlemishPlace.Extent(b);
        // Both ends of the width's interval: the narrowest face for an accept, the widest for a reject.
        var (strict, lax) = (DecisionRule.AtMost(extent, width.Low * limit.LargestShareOfWidth), DecisionRule.AtMost(extent, width.High * limit.LargestShareOfWidth));
        var outcome = strict == lax ? strict : VerdictOutcome.Hold;
        var limitMm = width.Value * limit.LargestShareOfWidth;
        return new BlemishPart(outcome,
            $"diameter {ReasonText.Mm(extent, limitMm)} against at most {ReasonText.Plain(limit.LargestShareOfWidth)} of the face's width, {ReasonText.Plain(Math.Round(limitMm, 1))} mm: {ReasonText.Word(outcome)}",
            "diameterMm", extent, limitMm, MeasureKnot);
    }

    private static BlemishPart Middle(Measurement m, BlemishFinding b, double share, string name)
    {
        var outcome = BlemishPlace.InMiddle(m, b, share);
        var edge = BlemishPlace.EdgeDistance(m, b);
        return new BlemishPart(outcome, $"{ReasonText.Mm(edge)} from the edge, the whole knot to lie in the {name} of the width: {ReasonText.Word(outcome)}",
            "edgeDistanceMm", edge, HandCheck: $"Measure from both edges whether the whole knot lies in the {name} of this face.");
    }

    private static IEnumerable<BlemishPart> Spacing(KnotInBeam limit, Measurement m, BlemishFinding b)
    {
        var extent = BlemishPlace.Extent(b);
        foreach (var other in m.Blemishes.Where(o => !ReferenceEquals(o, b)))
        {
            var apart = BlemishPlace.Apart(m, b, other);
            var (most, least) = (NeededMm(limit, extent.High), NeededMm(limit, extent.Low));
            var (strict, lax) = (DecisionRule.AtLeast(apart, most), DecisionRule.AtLeast(apart, least));
            var outcome = !DecisionRule.IsUsable(extent) || strict != lax ? VerdictOutcome.Hold : strict;
            // A neighbour that may be nothing cannot reject the knot beside it.
            if (outcome == VerdictOutcome.Reject && !(other.Probability >= BlemishJudge.SureProbability))
                outcome = VerdictOutcome.Hold;
            var wanted = NeededMm(limit, extent.Value);
            yield return new BlemishPart(outcome,
                $"{ReasonText.Mm(apart, wanted)} along the piece to the next {BlemishJudge.Word(other.Kind)} against at least {ReasonText.Plain(Math.Round(wanted, 1))} mm: {ReasonText.Word(outcome)}",
                "spacingMm", apart, wanted, $"Measure the distance between the two blemishes along the piece: at least {ReasonText.Plain(limit.SpacingIn)} in for a knot of {ReasonText.Inches(limit.LargestDiameterIn)}, less in proportion.");
        }
    }

    private static double NeededMm(KnotInBeam limit, double diameterMm) => limit.SpacingInFor(diameterMm / Units.MmPerInch) * Units.MmPerInch;
}
