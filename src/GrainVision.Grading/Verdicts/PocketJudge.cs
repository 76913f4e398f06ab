using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>Pitch pockets of a face. No photo shows their depth: where a limit has one, the best outcome is a hold.</summary>
internal static class PocketJudge
{
    internal static LimitAssessment Judge(PitchPocketInBeam limit, Measurement m, BlemishSetting setting) => BlemishJudge.EachOnFace(limit, m, setting, limit.Covers, b =>
    [
        AtMost("length", "lengthMm", BlemishPlace.Length(b), limit.LongestIn),
        AtMost("width", "widthMm", BlemishPlace.Width(b), limit.WidestIn),
        AtEdge(m, b),
        .. OnEdgeFace(setting),
        .. Others(setting, b).Select(o => SameRing(o, limit.ApartIn)),
        new BlemishPart(VerdictOutcome.Hold, $"depth does not show, against at most {ReasonText.Inches(limit.DeepestIn)} and in the centre part of the beam", "depthMm",
            HandCheck: $"Probe the pocket's depth: at most {ReasonText.Inches(limit.DeepestIn)}; and see that it lies in the centre part of the beam."),
    ]);

    internal static LimitAssessment Judge(PitchPocketInSolidSpar limit, Measurement m, BlemishSetting setting) => BlemishJudge.EachOnFace(limit, m, setting, limit.Covers, b =>
    [
        AtMost("length", "lengthMm", BlemishPlace.Length(b), limit.LongestIn),
        AgainstEdgeDistance(m, b, limit.LengthPerEdgeDistance),
        .. Others(setting, b).Select(o => ByLength(limit, b, o)),
    ]);

    internal static LimitAssessment Judge(PitchPocketInSmallPart limit, Measurement m, BlemishSetting setting) => BlemishJudge.EachOnFace(limit, m, setting, limit.Covers, b =>
    [
        PartSize(limit, m),
        WidthShare(limit, m, b),
        AtMost("length", "lengthMm", BlemishPlace.Length(b), limit.LongestIn),
        AgainstEdgeDistance(m, b, limit.LengthPerEdgeDistance),
        new BlemishPart(VerdictOutcome.Hold, $"depth does not show, against at most {ReasonText.Plain(limit.DepthShare)} of the part's dimension", "depthMm",
            HandCheck: $"Probe the pocket's depth: at most {ReasonText.Plain(limit.DepthShare)} of the dimension it goes into; none at all where either dimension is under {ReasonText.Inches(limit.NoneBelowIn)}."),
    ]);

    private static IEnumerable<Neighbour> Others(BlemishSetting setting, BlemishFinding b) =>
        setting.Neighbours(b).Where(o => o.Blemish.Kind == BlemishKind.PitchPocket);

    /// <summary>On a piece the faces are known: a narrow one is an edge of the beam.</summary>
    private static IEnumerable<BlemishPart> OnEdgeFace(BlemishSetting setting)
    {
        if (setting.Role == FaceRole.Narrow)
        {
            yield return new BlemishPart(VerdictOutcome.Reject, "on a narrow face, an edge of the beam, where no pocket is permitted", "face",
                HandCheck: "See which faces will be the vertical ones of the beam: at its edges no pocket is permitted.");
        }
    }

    private static BlemishPart AtMost(string name, string quantity, Measured size, double limitIn)
    {
        var limitMm = limitIn * Units.MmPerInch;
        var outcome = size.Value > 0 ? GuardedAcceptance.AtMost(size, limitMm) : VerdictOutcome.Hold;
        return new BlemishPart(outcome, $"{name} {ReasonText.Mm(size, limitMm)} against at most {ReasonText.Inches(limitIn)}: {ReasonText.Word(outcome)}",
            quantity, size, limitMm, $"Measure the pocket's {name} with a steel rule.");
    }

    private static BlemishPart AtEdge(Measurement m, BlemishFinding b)
    {
        var edge = BlemishPlace.EdgeDistance(m, b);
        // The finder gives exactly 0 for a blemish that runs out of the edge.
        var outcome = b.EdgeDistanceMm <= 0 ? VerdictOutcome.Reject : edge.Low > 0 ? VerdictOutcome.Accept : VerdictOutcome.Hold;
        return new BlemishPart(outcome, $"{ReasonText.Mm(edge, 0)} from the edge, not at edges: {ReasonText.Word(outcome)}", "edgeDistanceMm", edge,
            HandCheck: "See whether the pocket reaches an edge.");
    }

    /// <summary>Nearer than the limit is a hold and not a reject: the photo does not show whether both lie in one growth ring.</summary>
    private static BlemishPart SameRing(Neighbour other, double apartIn)
    {
        var (apart, limitMm) = (other.Apart, apartIn * Units.MmPerInch);
        var outcome = GuardedAcceptance.AtLeast(apart, limitMm) == VerdictOutcome.Accept ? VerdictOutcome.Accept : VerdictOutcome.Hold;
        return new BlemishPart(outcome, $"{ReasonText.Mm(apart, limitMm)} to the next pocket{other.Where} against at least {ReasonText.Inches(apartIn)} in the same growth ring: {ReasonText.Word(outcome)}",
            "spacingMm", apart, limitMm, "See whether the two pockets lie in the same growth ring, and measure the distance between them.");
    }

    private static BlemishPart ByLength(PitchPocketInSolidSpar limit, BlemishFinding b, Neighbour other)
    {
        var apart = other.Apart;
        var (one, two) = (BlemishPlace.Length(b), BlemishPlace.Length(other.Blemish));
        var sure = Math.Max(Math.Max(one.High, two.High) * limit.ApartPerLongerInOneLayer, Math.Min(one.High, two.High) * limit.ApartPerShorter);
        var never = Math.Min(one.Low, two.Low) * limit.ApartPerShorter;
        var outcome = GuardedAcceptance.AtLeast(apart, sure) == VerdictOutcome.Accept ? VerdictOutcome.Accept
            : GuardedAcceptance.AtLeast(apart, never) == VerdictOutcome.Reject && !other.MayBeSame && other.Blemish.Probability >= BlemishJudge.SureProbability ? VerdictOutcome.Reject
            : VerdictOutcome.Hold;
        return new BlemishPart(outcome,
            $"{ReasonText.Mm(apart, sure)} to the next pocket{other.Where} against at least {ReasonText.Plain(limit.ApartPerShorter)} times the shorter, or {ReasonText.Plain(limit.ApartPerLongerInOneLayer)} times the longer in one growth layer: {ReasonText.Word(outcome)}",
            "spacingMm", apart, sure, "Measure both pockets and the distance between them, and see whether they lie in one growth layer.");
    }

    private static BlemishPart AgainstEdgeDistance(Measurement m, BlemishFinding b, double times)
    {
        var (length, edge) = (BlemishPlace.Length(b), BlemishPlace.EdgeDistance(m, b));
        var strict = GuardedAcceptance.AtMost(length, times * Math.Max(0, edge.Low));
        var lax = GuardedAcceptance.AtMost(length, times * Math.Max(0, edge.High));
        var outcome = strict == lax ? strict : VerdictOutcome.Hold;
        return new BlemishPart(outcome, $"length {ReasonText.Mm(length)} against at most {ReasonText.Plain(times)} times its distance from the edge, {ReasonText.Mm(edge)}: {ReasonText.Word(outcome)}",
            "lengthMm", length, times * b.EdgeDistanceMm, "Measure the pocket's length and its distance from the nearest edge.");
    }

    private static BlemishPart PartSize(PitchPocketInSmallPart limit, Measurement m)
    {
        var limitMm = limit.NoneBelowIn * Units.MmPerInch;
        var width = m.Size?.SecondSideMm ?? default;
        var outcome = GuardedAcceptance.AtLeast(width, limitMm) == VerdictOutcome.Reject ? VerdictOutcome.Reject : VerdictOutcome.Hold;
        return new BlemishPart(outcome, $"width of this face {ReasonText.Mm(width, limitMm)}; no pocket at all where either dimension is under {ReasonText.Inches(limit.NoneBelowIn)}: {ReasonText.Word(outcome)}",
            "faceWidthMm", width, limitMm, $"Measure both dimensions of the part: no pocket where either is under {ReasonText.Inches(limit.NoneBelowIn)}.");
    }

    private static BlemishPart WidthShare(PitchPocketInSmallPart limit, Measurement m, BlemishFinding b)
    {
        var (pocket, face) = (BlemishPlace.Width(b), m.Size?.SecondSideMm ?? default);
        var strict = GuardedAcceptance.AtMost(pocket, face.Low * limit.WidthShare);
        var lax = GuardedAcceptance.AtMost(pocket, face.High * limit.WidthShare);
        var outcome = GuardedAcceptance.IsUsable(face) && strict == lax ? strict : VerdictOutcome.Hold;
        return new BlemishPart(outcome, $"width {ReasonText.Mm(pocket)} against at most {ReasonText.Plain(limit.WidthShare)} of this face's {ReasonText.Mm(face)}: {ReasonText.Word(outcome)}",
            "widthMm", pocket, face.Value * limit.WidthShare, "Measure the pocket's width and the face's width.");
    }
}
