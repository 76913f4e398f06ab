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

/// <summary>One flitch, plank or stick of a delivery.</summary>
public sealed record Piece
{
    /// <summary>Identity, given by whoever keeps it.</summary>
    public string Id { get; init; } = "";

    /// <summary>Number within its delivery, 1 and up: the number on its card.</summary>
    public required int Number { get; init; }

    /// <summary>Nominal thickness in quarters of an inch: 8 for 8/4.</summary>
    public required int NominalQuarters { get; init; }

    /// <summary>Nominal width, inches.</summary>
    public required double WidthIn { get; init; }

    /// <summary>Length, feet.</summary>
    public required double LengthFt { get; init; }

    /// <summary>Overrides the delivery's species where the delivery is mixed.</summary>
    public string? Species { get; init; }

    /// <summary>Letter marked on the end for the species, such as "S"; null where none.</summary>
    public string? SpeciesMark { get; init; }

    /// <summary>Moisture-meter reading, percent of the oven-dry weight; null where not read.</summary>
    public double? MoisturePercent { get; init; }

    /// <summary>Weight of the whole piece, pounds; null where not weighed.</summary>
    public double? WeightLb { get; init; }
}

/// <summary>A part that the shop wants to cut.</summary>
/// <param name="Name">Such as "cap strip".</param>
/// <param name="LengthMm">Finished length along the grain, mm.</param>
/// <param name="WidthMm">Finished width, mm.</param>
/// <param name="ThicknessMm">Finished thickness, mm.</param>
/// <param name="RuleBook">Id of the rule book of its use.</param>
/// <param name="Count">How many, 1 and up.</param>
public sealed record CutListLine(string Name, double LengthMm, double WidthMm, double ThicknessMm, string RuleBook, int Count);
