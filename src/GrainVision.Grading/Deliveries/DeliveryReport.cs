using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Questions;

namespace GrainVision.Grading.Deliveries;

/// <summary>Everything that the shop and the mill need to know of a delivery: the JSON report; CSV and PDF are drawn from it.</summary>
public sealed record DeliveryReport
{
    public required Delivery Delivery { get; init; }

    /// <summary>When it was made.</summary>
    public required DateTimeOffset MadeUtc { get; init; }

    /// <summary>By number.</summary>
    public required IReadOnlyList<PieceReport> Pieces { get; init; }

    /// <summary>By use, in the order of the delivery's rule books.</summary>
    public required IReadOnlyList<UseTally> Tally { get; init; }

    /// <summary>Board feet that arrived, nominal sizes.</summary>
    public required double ArrivedBoardFeet { get; init; }

    /// <summary>Checks that hold for every piece, in walking order.</summary>
    public IReadOnlyList<WalkLine> Walk { get; init; } = [];

    public CutPlan? CutPlan { get; init; }

    /// <summary>Photos that could not be sorted: for a person to assign.</summary>
    public IReadOnlyList<PhotoLeftOver> Unsorted { get; init; } = [];

    /// <summary>Photos that failed and were set aside.</summary>
    public IReadOnlyList<PhotoLeftOver> SetAside { get; init; } = [];

    /// <summary>False while photos are still waiting: the tally is then not the last word.</summary>
    public required bool IsComplete { get; init; }

    public required IReadOnlyList<string> Cautions { get; init; }
}

/// <summary>One piece of the report.</summary>
/// <param name="Piece">As entered.</param>
/// <param name="BoardFeet">Nominal.</param>
/// <param name="SpecificGravity">Oven-dry weight and volume, from weight, size and moisture; null where not all are known.</param>
/// <param name="Findings">What its photos say together.</param>
/// <param name="Verdicts">One for each use asked for.</param>
/// <param name="ClearLengths">Sound lengths by use.</param>
public sealed record PieceReport(
    Piece Piece,
    double BoardFeet,
    double? SpecificGravity,
    PieceFindings Findings,
    IReadOnlyList<Verdict> Verdicts,
    IReadOnlyList<ClearLength> ClearLengths)
{
    /// <summary>Moisture as it counts, % of the oven-dry weight; null where nobody read it.</summary>
    public Measured? MoisturePercent { get; init; }

    /// <summary>Weight as it counts, pounds; null where nobody weighed it.</summary>
    public Measured? WeightLb { get; init; }

    /// <summary>Every decision on it, oldest first.</summary>
    public IReadOnlyList<DecisionOnRecord> Decisions { get; init; } = [];

    /// <summary>What persons found by hand, oldest first; corrected ones too.</summary>
    public IReadOnlyList<ReportedFinding> HandFindings { get; init; } = [];

    /// <summary>What is left to settle the uses on hold, in walking order.</summary>
    public IReadOnlyList<Question> Questions { get; init; } = [];

    /// <summary>How it stands for each use: the verdicts with the decisions on record.</summary>
    public IReadOnlyList<UseStanding> Standing => [.. Verdicts.Select(v => UseStanding.From(v, Decisions))];
}

/// <summary>A hand finding in a report.</summary>
/// <param name="Entry">Number of its log entry.</param>
/// <param name="EnteredUtc">When it was entered.</param>
/// <param name="Kind">What was found.</param>
/// <param name="Finding">The finding itself.</param>
/// <param name="CorrectedBy">Entry of the finding that took its place; null where it counts.</param>
public sealed record ReportedFinding(long Entry, DateTimeOffset EnteredUtc, HandKind Kind, HandFinding Finding, long? CorrectedBy);

/// <summary>How many pieces and board feet stand as what for one use: decisions on record count.</summary>
public sealed record UseTally(string RuleBook, string Use, TallyCell Accept, TallyCell Hold, TallyCell Reject)
{
    /// <summary>Pieces of these that were overridden at any time.</summary>
    public int Overrides { get; init; }
}

/// <summary>Pieces and board feet.</summary>
public readonly record struct TallyCell(int Pieces, double BoardFeet);

/// <summary>A photo that is in no piece's findings, and why.</summary>
/// <param name="Sha256">Of the photo.</param>
/// <param name="FileName">As sent; shown, never used as a path.</param>
/// <param name="Why">In words.</param>
/// <param name="Advice">What to do next.</param>
public sealed record PhotoLeftOver(string Sha256, string FileName, string Why, string Advice);
