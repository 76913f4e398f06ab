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
        return judged with
        {
            HandChecks = [.. judged.HandChecks, .. Beyond(limit, m)],
            Cautions = large ? [$"A knot above {ReasonText.Inches(limit.CautionAboveIn)} in diameter is to be used with caution ({limit.MainSource})."] : [],
        };
    }

    internal static LimitFindings Judge(KnotInSmallPart limit, Measurement m) => BlemishJudge.EachOnFace(limit, m, limit.Covers, b =>
    [
        ShareOfWidth(limit, m, b),
        Middle(m, b, limit.MiddleShare, "middle half"),
        new BlemishPart(VerdictOutcome.Hold, "permitted on a flat-sawn face only, and one face does not show its cut", "cut",
            HandCheck: "See on the ends whether this face is flat-sawn: only there is a knot permitted."),
    ]);

    /// <summary>The next knot may lie past the end of the photo, where it cannot be seen.</summary>
    private static IEnumerable<string> Beyond(KnotInBeam limit, Measurement m)
    {
        if (m.View == View.Face && m.Blemishes.Any(b => limit.Covers(b.Kind)))
        {
            yield return $"Look past both ends of this photo and on the other faces for the next knot or defect: at least {ReasonText.Plain(limit.SpacingIn)} in "
                + $"from a knot of {ReasonText.Inches(limit.LargestDiameterIn)}, less in proportion ({limit.MainSource}).";
        }
    }

    /// <summary>True where the neighbour is sure to be a defect: a stain, a dent or a mark without a class may be none.</summary>
    private static bool IsSureDefect(BlemishFinding b) => b.Probability is >= BlemishJudge.SureProbability and <= 1
        && b.Kind is not (BlemishKind.Stain or BlemishKind.DentOrGouge or BlemishKind.Unknown);

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
            // A reject must hold however the distance is taken: along the piece, or straight across to the other knot.
            var (strict, lax) = (DecisionRule.AtLeast(apart, most), DecisionRule.AtLeast(BlemishPlace.StraightApart(m, b, other), least));
            var outcome = !DecisionRule.IsUsable(extent) || strict != lax ? VerdictOutcome.Hold : strict;
            // A neighbour that may be nothing cannot reject the knot beside it.
            if (outcome == VerdictOutcome.Reject && !IsSureDefect(other))
                outcome = VerdictOutcome.Hold;
            var wanted = NeededMm(limit, extent.Value);
            yield return new BlemishPart(outcome,
                $"{ReasonText.Mm(apart, wanted)} along the piece to the next {BlemishWords.Of(other.Kind)} against at least {ReasonText.Plain(Math.Round(wanted, 1))} mm: {ReasonText.Word(outcome)}",
                "spacingMm", apart, wanted, $"Measure the distance between the two blemishes along the piece: at least {ReasonText.Plain(limit.SpacingIn)} in for a knot of {ReasonText.Inches(limit.LargestDiameterIn)}, less in proportion.");
        }
    }

    private static double NeededMm(KnotInBeam limit, double diameterMm) => limit.SpacingInFor(diameterMm / Units.MmPerInch) * Units.MmPerInch;
}
