using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>Knots of a face by diameter, place across the face and distance to the next blemish.</summary>
internal static class KnotJudge
{
    private const string MeasureKnot = "Measure the knot's diameter by hand: the knot proper, without the distorted grain round it (ANC-19 2.4201).";

    internal static LimitAssessment Judge(KnotInBeam limit, Measurement m, BlemishSetting setting)
    {
        var judged = BlemishJudge.EachOnFace(limit, m, setting, limit.Covers, b =>
            [Diameter(limit, b, setting), .. OnEdgeFace(setting), Middle(m, b, limit.MiddleShare, "centre third"), .. Spacing(limit, setting, b)]);
        var large = m.Blemishes.Any(b => b.Kind == BlemishKind.Knot && !(BlemishPlace.Extent(b) is var e && GuardedAcceptance.IsUsable(e)
            && e.High <= limit.CautionAboveIn * Units.MmPerInch));
        return judged with
        {
            HandChecks = [.. judged.HandChecks, .. setting.WholePiece ? [] : Beyond(limit, m)],
            Cautions = large ? [$"A knot above {ReasonText.Inches(limit.CautionAboveIn)} in diameter is to be used with caution ({limit.MainSource})."] : [],
        };
    }

    internal static LimitAssessment Judge(KnotInSmallPart limit, Measurement m, BlemishSetting setting) =>
        BlemishJudge.EachOnFace(limit, m, setting, limit.Covers, b => Ignored(limit, b) is { } ignored
            ? [ignored]
            : [ShareOfWidth(limit, m, b, setting), Middle(m, b, limit.MiddleShare, "middle half"), FlatSawn(setting)]);

    /// <summary>The grain at the edges of the face beside each knot, where it was measured.</summary>
    internal static LimitAssessment Judge(GrainBesideKnot limit, Measurement m, BlemishSetting setting) =>
        BlemishJudge.EachOnFace(limit, m, setting, k => k == BlemishKind.Knot, b => [EdgeGrain(limit, b)]);

    private static BlemishPart EdgeGrain(GrainBesideKnot limit, BlemishFinding b)
    {
        var hand = $"Scribe or ink the grain at both edges of the face beside the knot: not steeper than 1:{ReasonText.Plain(limit.SteepestOneIn)}.";
        if (b.EdgeSlope is not { } slope)
            return new BlemishPart(VerdictOutcome.Hold, "the grain at the edge beside it was not measured", "edgeSlope", HandCheck: hand);
        var outcome = SlopeJudge.OneFace(slope.Magnitude(), 1 / limit.SteepestOneIn, 1 / limit.NoCombinedCheckFromOneIn);
        return new BlemishPart(outcome,
            $"grain at the edge beside it {ReasonText.OneIn(slope, limit.SteepestOneIn)} against not steeper than 1:{ReasonText.Plain(limit.SteepestOneIn)}: {ReasonText.Word(outcome)}",
            "edgeSlope", slope.Magnitude(), HandCheck: hand);
    }

    /// <summary>A knot too small to count by itself, or null.</summary>
    private static BlemishPart? Ignored(KnotInSmallPart limit, BlemishFinding b)
    {
        if (limit.IgnoredBelowIn is not { } belowIn)
            return null;
        var (extent, belowMm) = (BlemishPlace.Extent(b), belowIn * Units.MmPerInch);
        return GuardedAcceptance.IsUsable(extent) && extent.High < belowMm
            ? new BlemishPart(VerdictOutcome.Accept, $"{ReasonText.Mm(extent, belowMm)} at most, under {ReasonText.Inches(belowIn)}: ignored singly", "diameterMm", extent, belowMm)
            : null;
    }

    /// <summary>On a piece the faces are known: its narrow ones are the edges of the beam.</summary>
    private static IEnumerable<BlemishPart> OnEdgeFace(BlemishSetting setting)
    {
        const string hand = "See which faces will be the vertical ones of the beam: on its edges no knot is permitted.";
        if (setting.Role == FaceRole.Narrow)
            yield return new BlemishPart(VerdictOutcome.Reject, "on a narrow face, an edge of the beam, where no knot is permitted", "face", HandCheck: hand);
        else if (setting.Role == FaceRole.Either)
            yield return new BlemishPart(VerdictOutcome.Hold, "on a piece as thick as it is wide, of which any face may become an edge", "face", HandCheck: hand);
    }

    /// <summary>Flat-sawn is less than 45 degrees to the face (ANC-19 2.402); the ends show it, a face alone does not.</summary>
    private static BlemishPart FlatSawn(BlemishSetting setting)
    {
        const string hand = "See on the ends whether this face is flat-sawn: only there is a knot permitted.";
        if (setting.RingAngleToFace is not { } angle)
            return new BlemishPart(VerdictOutcome.Hold, "permitted on a flat-sawn face only, and one face does not show its cut", "cut", HandCheck: hand);
        var outcome = GuardedAcceptance.AtLeast(angle, CutClass.EdgeGrainFromDeg) switch
        {
            VerdictOutcome.Accept => VerdictOutcome.Reject,
            VerdictOutcome.Reject => VerdictOutcome.Accept,
            _ => VerdictOutcome.Hold,
        };
        return new BlemishPart(outcome,
            $"rings at {ReasonText.Interval(angle, "°", 0, CutClass.EdgeGrainFromDeg)} to this face, permitted on a flat-sawn face only, under {ReasonText.Plain(CutClass.EdgeGrainFromDeg)}°: {ReasonText.Word(outcome)}",
            "cut", HandCheck: hand);
    }

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

    /// <summary>
    /// A knot that may go through to the opposite face is judged by its average there (ANC-19 2.301), once a person has seen that it
    /// does: till then a larger one is open where the average would pass.
    /// </summary>
    private static VerdictOutcome OpenByAverage(VerdictOutcome outcome, BlemishFinding b, BlemishSetting setting, double limitMm)
    {
        if (outcome != VerdictOutcome.Reject || setting.ThroughMate(b) is not { } mate)
            return outcome;
        var (one, two) = (BlemishPlace.Extent(b), BlemishPlace.Extent(mate));
        var average = new Measured((one.Value + two.Value) / 2, (one.Low + two.Low) / 2, (one.High + two.High) / 2, Math.Min(one.Level, two.Level));
        return GuardedAcceptance.AtMost(average, limitMm) == VerdictOutcome.Reject ? VerdictOutcome.Reject : VerdictOutcome.Hold;
    }

    private static BlemishPart Diameter(KnotInBeam limit, BlemishFinding b, BlemishSetting setting)
    {
        var limitMm = limit.LargestDiameterIn * Units.MmPerInch;
        var extent = BlemishPlace.Extent(b);
        var outcome = OpenByAverage(GuardedAcceptance.AtMost(extent, limitMm), b, setting, limitMm);
        var shown = outcome == VerdictOutcome.Reject ? b.DiameterMm : extent;
        return new BlemishPart(outcome, $"diameter {ReasonText.Mm(shown, limitMm)} against at most {ReasonText.Inches(limit.LargestDiameterIn)}: {ReasonText.Word(outcome)}",
            "diameterMm", shown, limitMm, MeasureKnot);
    }

    private static BlemishPart ShareOfWidth(KnotInSmallPart limit, Measurement m, BlemishFinding b, BlemishSetting setting)
    {
        if (m.Size?.SecondSideMm is not { } width || !GuardedAcceptance.IsUsable(width))
            return new BlemishPart(VerdictOutcome.Hold, "the width of this face is not known", "diameterMm", HandCheck: MeasureKnot);
        var extent = BlemishPlace.Extent(b);
        // Both ends of the width's interval: the narrowest face for an accept, the widest for a reject.
        var (strict, lax) = (GuardedAcceptance.AtMost(extent, width.Low * limit.LargestShareOfWidth), GuardedAcceptance.AtMost(extent, width.High * limit.LargestShareOfWidth));
        var outcome = OpenByAverage(strict == lax ? strict : VerdictOutcome.Hold, b, setting, width.High * limit.LargestShareOfWidth);
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

    private static IEnumerable<BlemishPart> Spacing(KnotInBeam limit, BlemishSetting setting, BlemishFinding b)
    {
        var extent = BlemishPlace.Extent(b);
        foreach (var other in setting.Neighbours(b))
        {
            var (most, least) = (NeededMm(limit, extent.High), NeededMm(limit, extent.Low));
            // A reject must hold however the distance is taken: along the piece, or straight across to the other knot.
            var (strict, lax) = (GuardedAcceptance.AtLeast(other.Apart, most), GuardedAcceptance.AtLeast(other.StraightApart, least));
            var outcome = !GuardedAcceptance.IsUsable(extent) || strict != lax ? VerdictOutcome.Hold : strict;
            // A neighbour that may be nothing, or this very knot seen once more, cannot reject it.
            if (outcome == VerdictOutcome.Reject && (other.MayBeSame || !IsSureDefect(other.Blemish)))
                outcome = VerdictOutcome.Hold;
            var wanted = NeededMm(limit, extent.Value);
            yield return new BlemishPart(outcome,
                $"{ReasonText.Mm(other.Apart, wanted)} along the piece to the next {BlemishWords.From(other.Blemish.Kind)}{other.Where} against at least {ReasonText.Plain(Math.Round(wanted, 1))} mm: {ReasonText.Word(outcome)}",
                "spacingMm", other.Apart, wanted, other.MayBeSame
                    ? $"See whether this knot and the {BlemishWords.From(other.Blemish.Kind)}{other.Where} are one: then they count once (ANC-19 2.301). Else they stand too near."
                    : $"Measure the distance between the two blemishes along the piece: at least {ReasonText.Plain(limit.SpacingIn)} in for a knot of {ReasonText.Inches(limit.LargestDiameterIn)}, less in proportion.");
        }
    }

    private static double NeededMm(KnotInBeam limit, double diameterMm) => limit.SpacingInFor(diameterMm / Units.MmPerInch) * Units.MmPerInch;
}
