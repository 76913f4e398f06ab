using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// What a person's answer does to a reason. A hold of a limit with a number is settled only by measuring that number, judged by the same guarded
/// acceptance with the interval of the instrument; one of a limit without, by a person's answer. A reject stays one.
/// </summary>
internal static class HandSettling
{
    /// <param name="reason">Of the verdict on the evidence, hand measurements in it.</param>
    /// <param name="measurement">Id of the measurement that the reason is of; null where it is of several, or of the piece.</param>
    /// <param name="species">Of the piece.</param>
    /// <param name="hands">Hand findings, oldest first: the latest of a thing counts.</param>
    /// <param name="book">The use.</param>
    internal static Reason Settle(Reason reason, string? measurement, string? species, IReadOnlyList<HandFinding> hands, RuleBook book)
    {
        // Answers to these were heard before the photo was judged; "not metric" says nothing of the wood.
        if (hands.Count == 0 || reason.Outcome != VerdictOutcome.Hold || reason.LimitId is AssumedUnit.LimitId or UnprovenStreaks.LimitId or DoubtfulOutline.LimitId || reason.Asks is QuestionCode.PhotoPlace)
            return reason;
        var limit = book.Limits.FirstOrDefault(l => l.Id == reason.LimitId);
        if (CombinedSlope(hands) is { } combined)
        {
            if (Combined(limit, species, combined) is { } slope)
                return slope with { Surface = reason.Surface };
            if (reason.Asks == QuestionCode.Slope && limit is not ISlopeLimit && IsStraight(book, species, hands))
                return reason with { Outcome = VerdictOutcome.Accept, Text = $"{reason.Text} By hand: combined slope {SlopeWords.From(combined.Measured)}, {Whose(combined)}." };
        }

        var said = hands.LastOrDefault(h => h.Answer is not null && h.Limit == reason.LimitId
            && (h.Measurement is null || h.Measurement == measurement) && (h.Surface is null || h.Surface == reason.Surface));
        return said is null || HasNumber(limit, reason) ? reason : Answered(reason, said);
    }

    /// <summary>What the photos reject and the hand does not: it stays a reject. Only an override, with its reason, accepts such a piece.</summary>
    internal static IEnumerable<Reason> StillRejected(Verdict byPhoto, Verdict byHand) =>
        from reason in byPhoto.Reasons
        where reason.Outcome == VerdictOutcome.Reject && !byHand.Reasons.Any(r => r.LimitId == reason.LimitId && r.Photo == reason.Photo && r.Outcome == VerdictOutcome.Reject)
        select reason with { Text = $"{reason.Text} Found otherwise by hand, which settles a hold but not a reject." };

    /// <summary>The answer to a check that no photo shows; null where nobody answered it.</summary>
    internal static Reason? Looked(HandCheckOnly limit, IReadOnlyList<HandFinding> hands) => hands.LastOrDefault(h => h.Answer is not null && h.Limit == limit.Id) is { } said
        ? Answered(new Reason(limit.Id, VerdictOutcome.Hold, $"{limit.Text.TrimEnd('.')}.", limit.Source), said)
        : null;

    /// <summary>The true slope that a person found, judged like any other; null where nobody did. Beside the photos' own: the graver governs.</summary>
    internal static Reason? TrueSlope(SlopeOfGrain limit, string? species, IReadOnlyList<HandFinding> hands) =>
        CombinedSlope(hands) is { } combined && Combined(limit, species, combined) is { } slope
            ? slope with { Text = $"By hand, {Whose(combined)}: {slope.Text}" }
            : null;

    /// <summary>True where a person found the true slope, and it meets every slope limit of the book.</summary>
    internal static bool IsStraight(RuleBook book, string? species, IReadOnlyList<HandFinding> hands) =>
        CombinedSlope(hands) is { } combined
        && book.Limits.Where(l => l is ISlopeLimit).All(l => Combined(l, species, combined)?.Outcome == VerdictOutcome.Accept);

    /// <summary>True where only a number can settle it. A limit of blemishes whose open point is no size, such as what the mark is, takes an answer.</summary>
    internal static bool HasNumber(Limit? limit, Reason reason) => (limit is null ? null : LimitKinds.From(limit).TakesANumber) ?? reason.Limit is not null;

    private static Reason Answered(Reason reason, HandFinding said) => reason with
    {
        Outcome = said.Answer == HandAnswer.Met ? VerdictOutcome.Accept : VerdictOutcome.Reject,
        Text = $"{reason.Text} By hand: {(said.Answer == HandAnswer.Met ? "met" : "broken")}, {Whose(said)}{(said.Note is null ? "" : $": {said.Note.TrimEnd('.')}")}.",
    };

    private static HandFinding? CombinedSlope(IReadOnlyList<HandFinding> hands) => hands.LastOrDefault(h => h.Quantity == HandQuantities.CombinedSlope);

    private static string Whose(HandFinding hand) => $"{hand.By} with {hand.Instrument}";

    /// <summary>The slopes of two adjacent faces, combined by hand: the true slope of the fibres. Null where the limit is of no slope, or stays open by it.</summary>
    private static Reason? Combined(Limit? limit, string? species, HandFinding hand)
    {
        var slope = hand.Measured;
        var (found, none) = (Grain(slope), Grain(Measured.Exact(0)));
        return limit switch
        {
            SlopeOfGrain l => LimitJudge.CombinedSlope(l, species, found, none),
            SlopeOuterPart l => Met(l, slope, l.SteepestOneIn),
            SlopeMiddleHalf l => Met(l, slope, l.SteepestOneIn),
            _ => null,
        };
    }

    /// <summary>The steepest that was found need not lie in the part that the limit speaks of: it passes what it passes, and no more.</summary>
    private static Reason? Met(Limit limit, Measured slope, double steepestOneIn) => GuardedAcceptance.AtMost(slope, 1 / steepestOneIn) != VerdictOutcome.Accept
        ? null
        : new Reason(
            limit.Id, VerdictOutcome.Accept, $"Combined slope {ReasonText.OneIn(slope, steepestOneIn)} by hand against not steeper than 1:{ReasonText.Plain(steepestOneIn)}: met.",
            limit.Source, HandQuantities.CombinedSlope, slope, 1 / steepestOneIn, "tangent");

    private static GrainFinding Grain(Measured slope) => new(slope, OneIn.From(slope), slope, GrainBasis.FibreStreaks, []);
}
