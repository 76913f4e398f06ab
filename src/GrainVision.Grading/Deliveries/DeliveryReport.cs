using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

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
    IReadOnlyList<ClearLength> ClearLengths);

/// <summary>How many pieces and board feet got which verdict for one use.</summary>
public sealed record UseTally(string RuleBook, string Use, TallyCell Accept, TallyCell Hold, TallyCell Reject);

/// <summary>Pieces and board feet.</summary>
public readonly record struct TallyCell(int Pieces, double BoardFeet);

/// <summary>A photo that is in no piece's findings, and why.</summary>
/// <param name="Sha256">Of the photo.</param>
/// <param name="FileName">As sent; shown, never used as a path.</param>
/// <param name="Why">In words.</param>
/// <param name="Advice">What to do next.</param>
public sealed record PhotoLeftOver(string Sha256, string FileName, string Why, string Advice);
