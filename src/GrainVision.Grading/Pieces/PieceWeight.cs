using GrainVision.Grading.Findings;
using GrainVision.Grading.Lumber;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>Moisture and specific gravity of a piece, with intervals.</summary>
/// <remarks>ANC-19 (1943) 2.20 (read): weight per cubic foot of the whole stick, moved to oven-dry by a fixed step per 1 % moisture.</remarks>
public static class PieceWeight
{
    /// <summary>1 percentage point: half-width of a moisture-meter reading (common practice, no source).</summary>
    public const double MeterHalfWidthPercent = 1;

    /// <summary>0.01: half-width of the weight as a share of it: a bathroom or hanging scale (common practice, no source).</summary>
    private const double WeightShare = 0.01;

    /// <summary>0.005: half-width of the length as a share of the nominal one (common practice, no source).</summary>
    private const double LengthShare = 0.005;

    /// <summary>0.25: a step per 1 % moisture may be off by a quarter between sticks; spruce's and noble fir's differ by that (computed from ANC-19 2.20).</summary>
    private const double StepShare = 0.25;

    // Names of the species whose step ANC-19 2.20 prints.
    private static readonly Dictionary<string, double> Steps = new(StringComparer.Ordinal)
    {
        ["spruce"] = Lumber.SpecificGravity.SpruceStepLbPerFt3,
        ["sitka-spruce"] = Lumber.SpecificGravity.SpruceStepLbPerFt3,
        ["red-spruce"] = Lumber.SpecificGravity.SpruceStepLbPerFt3,
        ["white-spruce"] = Lumber.SpecificGravity.SpruceStepLbPerFt3,
        ["noble-fir"] = Lumber.SpecificGravity.NobleFirStepLbPerFt3,
    };

    /// <summary>
    /// Specific gravity, oven-dry weight and volume. Null where the weight, the moisture or both ends' measured sizes are missing, or no step per 1 %
    /// moisture is published for the species: nominal sizes are too rough to weigh by.
    /// </summary>
    public static Measured? SpecificGravity(Piece piece, PieceFindings findings)
    {
        ArgumentNullException.ThrowIfNull(piece);
        ArgumentNullException.ThrowIfNull(findings);
        return SpecificGravity(JoinedPiece.From(piece, findings.Photos));
    }

    internal static Measured? SpecificGravity(JoinedPiece joined)
    {
        if (joined.Piece.WeightLb is not { } weight || !double.IsFinite(weight) || weight <= 0 || Moisture(joined.Piece) is not { } moisture
            || Section(joined) is not { } areaMm2 || SpeciesJudge.NameOf(joined.Species) is not { } species || !Steps.TryGetValue(species, out var step))
            return null;
        var lengthFt = joined.Piece.LengthFt;
        var value = Gravity(weight, areaMm2.Value, lengthFt, moisture.Value, step);
        var low = Gravity(weight * (1 - WeightShare), areaMm2.High, lengthFt * (1 + LengthShare), moisture.High, step * (1 + StepShare));
        var high = Gravity(weight * (1 + WeightShare), areaMm2.Low, lengthFt * (1 - LengthShare), moisture.Low, step * (1 - StepShare));
        return double.IsFinite(low) && double.IsFinite(high) && low > 0 ? new Measured(value, low, high) : null;
    }

    /// <summary>Moisture-meter reading of a piece, % of the oven-dry weight, with the meter's own interval; null where there is none that makes sense.</summary>
    internal static Measured? Moisture(Piece piece) => piece.MoisturePercent is >= 0 and < 200 and var m
        ? new Measured(m, Math.Max(0, m - MeterHalfWidthPercent), m + MeterHalfWidthPercent)
        : null;

    /// <summary>Area of the section, mm2: both ends must show it, and the interval holds both.</summary>
    private static Measured? Section(JoinedPiece joined)
    {
        var sizes = joined.Ends.Values.SelectMany(e => e).Select(e => e.Size).OfType<SectionSize>()
            .Where(s => GuardedAcceptance.IsUsable(s.FirstSideMm) && GuardedAcceptance.IsUsable(s.SecondSideMm) && s.FirstSideMm.Low > 0 && s.SecondSideMm.Low > 0).ToList();
        if (joined.Ends.Count < PieceSurfaces.Ends.Count || joined.Ends.Values.Any(e => e.All(m => m.Size is null)) || sizes.Count == 0)
            return null;
        return new Measured(
            sizes.Average(s => s.FirstSideMm.Value * s.SecondSideMm.Value), sizes.Min(s => s.FirstSideMm.Low * s.SecondSideMm.Low), sizes.Max(s => s.FirstSideMm.High * s.SecondSideMm.High));
    }

    private static double Gravity(double weightLb, double areaMm2, double lengthFt, double moisturePercent, double step)
    {
        var volume = Lumber.SpecificGravity.VolumeFt3(areaMm2 / (Units.MmPerInch * Units.MmPerInch), 1, lengthFt);
        var density = Lumber.SpecificGravity.DensityLbPerFt3(weightLb, volume, moisturePercent, 0, step);
        return density > 0 ? Lumber.SpecificGravity.FromOvenDryDensity(density) : double.NaN;
    }
}
