using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Records.Decisions;

namespace GrainVision.Service.Decisions;

/// <summary>What is asked to be put on record.</summary>
internal sealed record DecisionRequest
{
    /// <summary>Rule book, at its newest version.</summary>
    public required string RuleBook { get; init; }

    /// <summary>Ids of the measurements to rest on, besides those recorded of this piece.</summary>
    public IReadOnlyList<string> Measurements { get; init; } = [];

    /// <summary>Found by hand; they go on record too, and count for later decisions on the piece.</summary>
    public IReadOnlyList<HandFinding> HandMeasurements { get; init; } = [];

    /// <summary>A person's verdict; left out, the rule decides.</summary>
    public VerdictOutcome? Verdict { get; init; }

    /// <summary>Who decides, where it is not simply the holder of the API key.</summary>
    public string? By { get; init; }

    public string? Reason { get; init; }

    /// <summary>True to be more lenient than the rule.</summary>
    public bool Override { get; init; }

    /// <summary>Id of the decision in force, where there is one.</summary>
    public string? Supersedes { get; init; }

    public string? Delivery { get; init; }

    public string? Species { get; init; }
}

/// <summary>For the OpenAPI document: a decision with its place in the log; in a list, of a piece of a delivery, how that piece stands for the use now.</summary>
internal sealed record DecisionAnswer(Decision Decision, long Entry, string EntrySha256, DateTimeOffset At, string Who, string? SupersededBy, StandingNow? Standing);

/// <summary>How a piece stands for a use now, whatever was decided at the time.</summary>
/// <param name="Outcome">What counts.</param>
/// <param name="ByRule">What the rule says of the evidence now.</param>
/// <param name="IsOutdated">True where the rule said something else when it was decided last.</param>
/// <param name="IsOverridden">True for ever where any decision for this use was an override.</param>
internal sealed record StandingNow(VerdictOutcome Outcome, VerdictOutcome ByRule, bool IsOutdated, bool IsOverridden);

/// <summary>For the OpenAPI document.</summary>
internal sealed record DecisionPage(IReadOnlyList<DecisionAnswer> Decisions, long? After);
