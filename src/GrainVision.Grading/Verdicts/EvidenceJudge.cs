using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>One photo's findings as evidence of a piece.</summary>
/// <param name="Id">Of the measurement.</param>
/// <param name="Measurement">What it gave.</param>
public sealed record Evidence(string Id, Measurement Measurement);

/// <summary>A reason with the measurement that it comes from; null where it speaks of the piece.</summary>
public sealed record EvidenceReason(string? Measurement, Reason Reason);

/// <summary>What the evidence of a piece says by the rule, hand findings included.</summary>
/// <param name="Outcome">The gravest of <paramref name="Reasons"/>.</param>
/// <param name="Reasons">Gravest first.</param>
/// <param name="HandChecks">What a person must still do.</param>
/// <param name="Cautions">What the evidence cannot show, and who decides.</param>
public sealed record EvidenceVerdict(
    VerdictOutcome Outcome, IReadOnlyList<EvidenceReason> Reasons, IReadOnlyList<string> HandChecks, IReadOnlyList<string> Cautions)
{
    /// <summary>The gravest reason governs; a hand check that settled its hold is no longer asked for.</summary>
    internal static EvidenceVerdict From(IReadOnlyList<EvidenceReason> reasons, IEnumerable<string> handChecks, IEnumerable<string> cautions)
    {
        var settled = reasons.Where(r => r.Reason.Outcome == VerdictOutcome.Accept).Select(r => r.Reason.HandCheck ?? "");
        return new EvidenceVerdict(
            GuardedAcceptance.Gravest(reasons.Select(r => r.Reason.Outcome)),
            [.. reasons.OrderByDescending(r => r.Reason.Outcome)],
            [.. handChecks.Distinct().Except(settled)],
            [.. cautions.Distinct()]);
    }
}

/// <summary>
/// Judges a piece by its photos and by what was found by hand. A hold of a limit with a number is settled only by measuring that number, judged by
/// the same guarded acceptance with the interval of the instrument; one of a limit without, by a person's answer. A reject stays one.
/// </summary>
public static class EvidenceJudge
{
    /// <summary>Limit that asks for both ends.</summary>
    public const string EndsShown = "both-ends-shown";

    /// <summary>Limit that asks for faces.</summary>
    public const string FacesShown = "faces-shown";

    private const string OurRule = "a verdict on a piece needs photos of both ends and of two faces";

    /// <summary>2: ends of a piece (the worst inch of either governs, ANC-19 2.413), and adjacent faces that together show the slope (ANC-19 2.4102).</summary>
    private const int Needed = 2;

    /// <param name="evidence">Measurements of this piece.</param>
    /// <param name="hands">Hand findings, oldest first: the latest of a thing counts.</param>
    /// <param name="book">Limits to judge by.</param>
    public static EvidenceVerdict Judge(IReadOnlyList<Evidence> evidence, IReadOnlyList<HandFinding> hands, RuleBook book)
    {
        ArgumentNullException.ThrowIfNull(evidence);
        ArgumentNullException.ThrowIfNull(hands);
        ArgumentNullException.ThrowIfNull(book);
        var reasons = new List<EvidenceReason>();
        var (checks, cautions) = (new List<string>(), new List<string>());
        foreach (var (id, measurement) in evidence)
        {
            var of = hands.Where(h => h.Measurement == id).ToList();
            var verdict = PhotoJudge.GiveVerdict(HandEvidence.Apply(measurement, of), book);
            reasons.AddRange(verdict.Reasons.Select(r => new EvidenceReason(id, Settle(r, id, measurement.Species, hands, book))));
            if (of.Count > 0)
                reasons.AddRange(StillRejected(PhotoJudge.GiveVerdict(measurement, book), verdict).Select(r => new EvidenceReason(id, r)));
            checks.AddRange(verdict.HandChecks);
            cautions.AddRange(verdict.Cautions);
        }

        reasons.AddRange(NotShown(evidence, hands));
        return EvidenceVerdict.From(reasons, checks, cautions);
    }

    /// <summary>What the photos reject and the hand does not: it stays a reject. Only an override, with its reason, accepts such a piece.</summary>
    internal static IEnumerable<Reason> StillRejected(Verdict photo, Verdict byHand) =>
        from reason in photo.Reasons
        where reason.Outcome == VerdictOutcome.Reject && !byHand.Reasons.Any(r => r.LimitId == reason.LimitId && r.Outcome == VerdictOutcome.Reject)
        select reason with { Text = $"{reason.Text} Found otherwise by hand, which settles a hold but not a reject." };

    internal static Reason Settle(Reason reason, string id, string? species, IReadOnlyList<HandFinding> hands, RuleBook book)
    {
        // Answers to these were heard before the photo was judged; "not metric" says nothing of the wood.
        if (reason.Outcome != VerdictOutcome.Hold || reason.LimitId is AssumedUnit.LimitId or UnprovenStreaks.LimitId)
            return reason;
        var limit = book.Limits.FirstOrDefault(l => l.Id == reason.LimitId);
        if (reason.Measured is not null && hands.LastOrDefault(h => h.Quantity == HandUnits.CombinedSlope) is { } combined && Combined(limit, species, combined) is { } slope)
            return slope;
        if (HasNumber(limit, reason) || hands.LastOrDefault(h => h.Answer is not null && h.Limit == reason.LimitId && (h.Measurement ?? id) == id) is not { } said)
            return reason;
        return Answered(reason, said);
    }

    /// <summary>True where only a number can settle it. A limit of blemishes whose open point is no size, such as what the mark is, takes an answer.</summary>
    private static bool HasNumber(Limit? limit, Reason reason) => limit switch
    {
        RingsPerInchMinimum or RingsPerInchRange or EdgeGrain or QuarterSawn or ISlopeLimit => true,
        BoxedPith => false,
        _ => reason.Limit is not null,
    };

    private static Reason Answered(Reason reason, HandFinding said) => reason with
    {
        Outcome = said.Answer == HandAnswer.Met ? VerdictOutcome.Accept : VerdictOutcome.Reject,
        Text = $"{reason.Text} By hand: {(said.Answer == HandAnswer.Met ? "met" : "broken")}, {said.By} with {said.Instrument}{(said.Note is null ? "" : $": {said.Note}")}.",
    };

    /// <summary>The slopes of two adjacent faces, combined by hand: the true slope of the fibres.</summary>
    private static Reason? Combined(Limit? limit, string? species, HandFinding hand)
    {
        var slope = hand.Measured;
        var (found, none) = (Grain(slope), Grain(Measured.Exact(0)));
        return limit switch
        {
            SlopeOfGrain l => LimitJudge.CombinedSlope(l, species, found, none),
            SlopeOuterPart l when GuardedAcceptance.AtMost(slope, 1 / l.SteepestOneIn) == VerdictOutcome.Accept => new Reason(
                l.Id, VerdictOutcome.Accept, $"Combined slope {ReasonText.OneIn(slope)} by hand against not steeper than 1:{ReasonText.Plain(l.SteepestOneIn)}: met.",
                l.Source, HandUnits.CombinedSlope, slope, 1 / l.SteepestOneIn, "tangent"),
            _ => null,
        };
    }

    private static GrainFinding Grain(Measured slope) => new(slope, OneIn.From(slope), slope, GrainBasis.FibreStreaks, []);

    private static IEnumerable<EvidenceReason> NotShown(IReadOnlyList<Evidence> evidence, IReadOnlyList<HandFinding> hands)
    {
        foreach (var (view, id, words) in new[] { (View.End, EndsShown, "ends"), (View.Face, FacesShown, "faces") })
        {
            var shown = evidence.Where(e => e.Measurement.View == view).Select(e => e.Measurement.Photo.Sha256).Distinct(StringComparer.Ordinal).Count();
            if (shown >= Needed)
                continue;
            var reason = new Reason(
                id, VerdictOutcome.Hold, $"{shown} of {Needed} {words} shown: {OurRule}.", ReasonText.OwnSource,
                HandCheck: $"Photograph the other {words}, or look at them and answer the limit {id}.");
            yield return new EvidenceReason(null, hands.LastOrDefault(h => h.Answer is not null && h.Limit == id) is { } said ? Answered(reason, said) : reason);
        }
    }
}
