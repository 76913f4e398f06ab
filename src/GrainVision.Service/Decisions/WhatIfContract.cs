using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Service.Decisions;

/// <summary>What to try on the past.</summary>
internal sealed record WhatIfRequest
{
    /// <summary>A whole rule book, or <c>{"id":…,"version":…}</c> of one in the catalogue (version left out: the newest). Left out: that of each record, for trying the pipeline alone.</summary>
    public JsonElement? RuleBook { get; init; }

    /// <summary>True: measure every photo again with the present pipeline. Slow: a second a photo.</summary>
    public bool Remeasure { get; init; }

    public string? Delivery { get; init; }

    public string? Piece { get; init; }

    public string? Species { get; init; }

    public View? View { get; init; }

    /// <summary>Only measurements that were judged by this rule book.</summary>
    public string? JudgedBy { get; init; }

    public DateTimeOffset? From { get; init; }

    public DateTimeOffset? To { get; init; }

    /// <summary>Key of the last page.</summary>
    public long? After { get; init; }

    /// <summary>Records to look at: 1 to 1,000; with remeasure 1 to 20.</summary>
    public int? Limit { get; init; }
}

/// <summary>A verdict that would change.</summary>
internal sealed record WhatIfChange(
    string Measurement, long Entry, string? Piece, string? RecordedBy, VerdictOutcome? Recorded, VerdictOutcome? Now, string? Refused, IReadOnlyList<string> Because);

/// <summary>What would change. Nothing was changed.</summary>
/// <param name="Looked">Records looked at.</param>
/// <param name="Same">Records whose verdict would stay.</param>
/// <param name="RuleBook">What they were judged by, such as <c>spar 2</c>; null: each by its own.</param>
/// <param name="Changed">Verdicts that would change.</param>
/// <param name="After">Key of the next page; null: this was the last.</param>
internal sealed record WhatIfAnswer(int Looked, int Same, string? RuleBook, IReadOnlyList<WhatIfChange> Changed, long? After)
{
    /// <summary>Pieces of the delivery or the piece asked for whose verdict would change, all evidence together; on the first page, and not where photos are measured again.</summary>
    public IReadOnlyList<WhatIfPiece> Pieces { get; init; } = [];
}

/// <summary>A piece that would be judged otherwise, photos, readings and answers together.</summary>
/// <param name="Piece">Id of the piece.</param>
/// <param name="Use">In words.</param>
/// <param name="JudgedBy">What it is judged by now, such as <c>spar 2</c>.</param>
/// <param name="ByRule">What that says.</param>
/// <param name="Now">What the tried rule book says.</param>
/// <param name="Decided">The decision in force; null where nobody decided.</param>
/// <param name="Because">The gravest reasons.</param>
internal sealed record WhatIfPiece(string Piece, string Use, string JudgedBy, VerdictOutcome ByRule, VerdictOutcome Now, VerdictOutcome? Decided, IReadOnlyList<string> Because);
