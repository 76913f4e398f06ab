namespace GrainVision.Grading.Deliveries;

/// <summary>What arrived together from one supplier.</summary>
public sealed record Delivery
{
    /// <summary>Identity, given by whoever keeps it.</summary>
    public string Id { get; init; } = "";

    public required string Supplier { get; init; }

    public required string OrderNumber { get; init; }

    /// <summary>Kebab-case common name; null where it is mixed or not stated.</summary>
    public string? Species { get; init; }

    /// <summary>Moisture content that the supplier states, percent of the oven-dry weight; null where not stated.</summary>
    public double? StatedMoisturePercent { get; init; }

    /// <summary>Ids of the rule books that every piece is judged by: the uses asked for.</summary>
    public IReadOnlyList<string> RuleBooks { get; init; } = [];

    /// <summary>Amount ordered, board feet; null where not stated.</summary>
    public double? OrderedBoardFeet { get; init; }

    /// <summary>Parts that the shop wants out of this delivery; empty where nothing is to be cut.</summary>
    public IReadOnlyList<CutListLine> CutList { get; init; } = [];
}

/// <summary>A part that the shop wants to cut.</summary>
/// <param name="Name">Such as "cap strip".</param>
/// <param name="LengthMm">Finished length along the grain, mm.</param>
/// <param name="WidthMm">Finished width, mm.</param>
/// <param name="ThicknessMm">Finished thickness, mm.</param>
/// <param name="RuleBook">Id of the rule book of its use.</param>
/// <param name="Count">How many, 1 and up.</param>
public sealed record CutListLine(string Name, double LengthMm, double WidthMm, double ThicknessMm, string RuleBook, int Count);
