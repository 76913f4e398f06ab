using GrainVision.Grading.Findings;
using GrainVision.Grading.Lumber;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>Moisture and specific gravity of a piece, with intervals.</summary>
/// <remarks>ANC-19 (1943) 2.20 (read): weight per cubic foot of the whole stick, moved to oven-dry by a fixed step per 1 % moisture.</remarks>
public static class PieceWeight
{
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
        return SpecificGravity(JoinedPiece.From(piece, findings.Photos, []));
    }

    internal static Measured? SpecificGravity(JoinedPiece joined)
    {
        if (joined.Readings.SpecificGravity is { } found)
            return found;
        if (joined.Readings.WeightLb is not { Low: > 0 } weight || joined.Readings.MoisturePercent is not { } moisture
            || Section(joined) is not { } areaMm2 || SpeciesJudge.NameOf(joined.Species) is not { } species || !Steps.TryGetValue(species, out var step))
            return null;
        var nominalMm = joined.Piece.LengthFt * Units.MmPerFoot;
        var lengthFt = (joined.Readings.LengthMm ?? new Measured(nominalMm, nominalMm * (1 - LengthShare), nominalMm * (1 + LengthShare))).Scale(1 / Units.MmPerFoot);
        var value = Gravity(weight.Value, areaMm2.Value, lengthFt.Value, moisture.Value, step);
        var low = Gravity(weight.Low, areaMm2.High, lengthFt.High, moisture.High, step * (1 + StepShare));
        var high = Gravity(weight.High, areaMm2.Low, lengthFt.Low, moisture.Low, step * (1 - StepShare));
        return double.IsFinite(low) && double.IsFinite(high) && low > 0 ? new Measured(value, low, high) : null;
    }

    /// <summary>True where the species' weight per 1 % moisture is published: else only its specific gravity itself helps.</summary>
    internal static bool HasStep(string? species) => SpeciesJudge.NameOf(species) is { } name && Steps.ContainsKey(name);

    /// <summary>Area of the section, mm2: by tape, else both ends must show it, and the interval holds both.</summary>
    private static Measured? Section(JoinedPiece joined)
    {
        if (joined.Readings.SectionMm2 is { } byTape)
            return byTape;
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
