using System.Text.Json.Serialization;
using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Deliveries;

/// <summary>Who decided.</summary>
public enum DecidedBy
{
    /// <summary>The rule book, from the evidence.</summary>
    [JsonStringEnumMemberName("rule")]
    Rule,

    /// <summary>A person, who may always be stricter than the rule, and more lenient only as an override.</summary>
    [JsonStringEnumMemberName("person")]
    Person,
}

/// <summary>A decision as a report tells it.</summary>
/// <param name="Id">Of the decision.</param>
/// <param name="Piece">Id of the piece.</param>
/// <param name="RuleBook">Id of the rule book of the use.</param>
/// <param name="RuleBookVersion">Its version then.</param>
/// <param name="Verdict">What was decided.</param>
/// <param name="ByRule">What the rule said of the evidence then.</param>
/// <param name="DecidedBy">Rule or person.</param>
/// <param name="Person">Who.</param>
/// <param name="AtUtc">When.</param>
/// <param name="Override">True for ever where a person was more lenient than the rule.</param>
/// <param name="Reason">As given; null where none was.</param>
/// <param name="SupersededBy">Id of the decision that took its place; null where it stands.</param>
public sealed record DecisionOnRecord(
    string Id,
    string Piece,
    string RuleBook,
    int RuleBookVersion,
    VerdictOutcome Verdict,
    VerdictOutcome ByRule,
    DecidedBy DecidedBy,
    string Person,
    DateTimeOffset AtUtc,
    bool Override,
    string? Reason,
    string? SupersededBy);
