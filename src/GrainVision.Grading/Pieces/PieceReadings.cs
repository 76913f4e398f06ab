using GrainVision.Grading.ByHand;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>What is known of a piece by meter, scale and tape: as entered with the delivery, or the latest that a person found.</summary>
/// <param name="MoisturePercent">% of the oven-dry weight.</param>
/// <param name="WeightLb">Pounds.</param>
/// <param name="LengthMm">By tape, mm; null: the nominal length counts.</param>
/// <param name="SectionMm2">Width times thickness by tape, mm2; null where not both were measured.</param>
/// <param name="SpecificGravity">Found directly, oven-dry weight and volume.</param>
/// <param name="Species">Kebab-case common name; null where neither the delivery nor a person says, or they differ.</param>
internal sealed record PieceReadings(
    Measured? MoisturePercent, Measured? WeightLb, Measured? LengthMm, Measured? SectionMm2, Measured? SpecificGravity, string? Species)
{
    /// <summary>True where a person found another wood than the papers say.</summary>
    internal bool SpeciesDiffers { get; private init; }

    internal static PieceReadings From(Piece piece, IReadOnlyList<HandFinding> hands)
    {
        var (width, thickness) = (Latest(HandQuantities.Width), Latest(HandQuantities.Thickness));
        var (stated, found) = (SpeciesJudge.NameOf(piece.Species), SpeciesJudge.NameOf(hands.LastOrDefault(h => h.Species is not null)?.Species));
        // Another wood than the papers say leaves it open: only what all species agree on is decided then.
        var differs = stated is not null && found is not null && stated != found;
        return new PieceReadings(
            Latest(HandQuantities.Moisture) is { } moisture ? moisture with { Low = Math.Max(0, moisture.Low) } : Entered(piece.MoisturePercent, 200, _ => HandQuantities.MeterHalfWidthPercent),
            Latest(HandQuantities.Weight) ?? Entered(piece.WeightLb, double.MaxValue, lb => lb * HandQuantities.WeightShare),
            Latest(HandQuantities.Length),
            width is { } w && thickness is { } t && w.Low > 0 && t.Low > 0 ? new Measured(w.Value * t.Value, w.Low * t.Low, w.High * t.High) : null,
            Latest(HandQuantities.SpecificGravity),
            differs ? null : stated ?? found)
        {
            SpeciesDiffers = differs,
        };

        Measured? Latest(string quantity) => hands.LastOrDefault(h => h.Quantity == quantity)?.Measured;
    }

    /// <summary>As entered with the delivery, with the instrument's usual interval; null where it makes no sense.</summary>
    private static Measured? Entered(double? value, double below, Func<double, double> half) =>
        value is { } v && double.IsFinite(v) && v >= 0 && v < below ? new Measured(v, Math.Max(0, v - half(v)), v + half(v)) : null;
}
