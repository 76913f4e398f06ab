namespace GrainVision.Grading.Pieces;

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
