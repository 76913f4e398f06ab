using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Log;

namespace GrainVision.Records.Decisions;

/// <summary>A measurement that a decision rests on.</summary>
public sealed record DecisionEvidence(string Measurement, string PhotoSha256);

/// <summary>A verdict put on record: the body of its log entry. Never changed, only superseded.</summary>
public sealed record Decision
{
    public required string Id { get; init; }

    public required string Piece { get; init; }

    public string? Delivery { get; init; }

    public string? Species { get; init; }

    public required string RuleBook { get; init; }

    public required int RuleBookVersion { get; init; }

    public required string Use { get; init; }

    public required VerdictOutcome Verdict { get; init; }

    /// <summary>What the rule alone says of the same evidence.</summary>
    public required VerdictOutcome ByRule { get; init; }

    public required DecidedBy DecidedBy { get; init; }

    /// <summary>The person named, or the holder of the API key.</summary>
    public required string Person { get; init; }

    /// <summary>True for ever where a person was more lenient than the rule.</summary>
    public required bool Override { get; init; }

    public string? Reason { get; init; }

    /// <summary>Id of the decision that this one takes the place of.</summary>
    public string? Supersedes { get; init; }

    public required IReadOnlyList<DecisionEvidence> Evidence { get; init; }

    /// <summary>Log entries of the hand findings that were judged.</summary>
    public required IReadOnlyList<long> HandMeasurements { get; init; }

    public required IReadOnlyList<EvidenceReason> Reasons { get; init; }

    public required IReadOnlyList<string> HandChecks { get; init; }

    public required IReadOnlyList<string> Cautions { get; init; }
}

/// <summary>A decision with its place in the log.</summary>
/// <param name="Entry">Its entry; the content's body is the <see cref="Decision"/>.</param>
/// <param name="SupersededBy">Id of the decision that took its place, or null.</param>
public sealed record StoredDecision(LogEntry Entry, string? SupersededBy);

/// <summary>What to look for. Null: anything.</summary>
public sealed record DecisionFilter
{
    public string? Delivery { get; init; }

    public string? Piece { get; init; }

    public string? Species { get; init; }

    /// <summary>Id of the rule book: its use.</summary>
    public string? Use { get; init; }

    public string? Verdict { get; init; }

    public string? Person { get; init; }

    /// <summary>Id of a limit that decided.</summary>
    public string? LimitId { get; init; }

    public DateTimeOffset? From { get; init; }

    public DateTimeOffset? To { get; init; }
}
