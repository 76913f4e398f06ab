using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Deliveries;

/// <summary>How a piece stands for one use now: the rule's verdict on the evidence as it is, and the decision on record.</summary>
/// <param name="RuleBook">Id of the rule book.</param>
/// <param name="Use">In words.</param>
/// <param name="Outcome">What counts: the person's decision where there is one, else the rule.</param>
/// <param name="ByRule">What the rule says of the evidence now.</param>
/// <param name="Decision">The decision in force; null where nothing was decided.</param>
/// <param name="IsOutdated">True where the rule now says something else of the evidence than when it was decided.</param>
/// <param name="IsOverridden">True for ever where any decision on this piece for this use was an override.</param>
public sealed record UseStanding(
    string RuleBook, string Use, VerdictOutcome Outcome, VerdictOutcome ByRule, DecisionOnRecord? Decision, bool IsOutdated, bool IsOverridden)
{
    /// <summary>
    /// A person's decision counts. It was made on the evidence of its time: where the rule has come to something graver since, the graver of the two counts
    /// until a person decides anew.
    /// </summary>
    /// <param name="now">The verdict by the rule.</param>
    /// <param name="history">Decisions on the piece, oldest first; of other uses too.</param>
    public static UseStanding From(Verdict now, IReadOnlyList<DecisionOnRecord> history)
    {
        ArgumentNullException.ThrowIfNull(now);
        ArgumentNullException.ThrowIfNull(history);
        var ofUse = history.Where(d => d.RuleBook == now.RuleBook).ToList();
        var inForce = ofUse.FindLast(d => d.SupersededBy is null);
        var outcome = inForce is not { DecidedBy: DecidedBy.Person } ? now.Outcome
            : now.Outcome > inForce.ByRule && now.Outcome > inForce.Verdict ? now.Outcome
            : inForce.Verdict;
        return new UseStanding(now.RuleBook, now.Use, outcome, now.Outcome, inForce, inForce is not null && inForce.ByRule != now.Outcome, ofUse.Exists(d => d.Override));
    }
}
