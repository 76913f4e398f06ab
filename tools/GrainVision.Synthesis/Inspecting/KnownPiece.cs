using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>A photo of a piece as the person who took it knows it.</summary>
/// <param name="Sha256">Of its file.</param>
/// <param name="Surface">What it shows.</param>
/// <param name="Truth">What it truly shows.</param>
public sealed record KnownPhoto(string Sha256, Surface Surface, PhotoTruth Truth);

/// <summary>The truth of one piece, beside which an inspector stands.</summary>
/// <param name="Species">Kebab-case name, with its class where it has one.</param>
/// <param name="MoisturePercent">% of the oven-dry weight.</param>
/// <param name="SpecificGravity">Oven-dry weight and volume.</param>
/// <param name="WeightLb">As it lies there.</param>
/// <param name="WideMm">Wide side of the section.</param>
/// <param name="ThickMm">Narrow side.</param>
/// <param name="LengthMm">Length.</param>
/// <param name="BrokenLimits">Ids of limits that it truly breaks.</param>
/// <param name="Photos">All that were taken.</param>
public sealed record KnownPiece(
    string Species, double MoisturePercent, double SpecificGravity, double WeightLb, double WideMm, double ThickMm, double LengthMm,
    IReadOnlyList<string> BrokenLimits, IReadOnlyList<KnownPhoto> Photos)
{
    /// <summary>Weight of a board by ANC-19 2.20 the other way round, pounds; of species without a published step, by spruce's.</summary>
    public static double WeightOf(BoardSpec spec, double gravity, double moisturePercent)
    {
        ArgumentNullException.ThrowIfNull(spec);
        var volume = Grading.Lumber.SpecificGravity.VolumeFt3(spec.ThickMm / Units.MmPerInch, spec.WideMm / Units.MmPerInch, spec.LengthMm / Units.MmPerFoot);
        var step = spec.Species == "noble-fir" ? Grading.Lumber.SpecificGravity.NobleFirStepLbPerFt3 : Grading.Lumber.SpecificGravity.SpruceStepLbPerFt3;
        return volume * ((gravity * Grading.Lumber.SpecificGravity.WaterLbPerFt3) + (step * moisturePercent));
    }

    /// <summary>
    /// Slope of the fibres where it is steepest, tangent: the steepest window of a face with what its neighbour shows, root of the sum of squares
    /// (ANC-19 2.3022).
    /// </summary>
    public double TrueSlope => Photos.Select(p => p.Truth.Grain).OfType<GrainTruth>()
        .Select(g => Math.Max(g.CombinedSlope, Math.Sqrt((g.WorstWindow * g.WorstWindow) + (g.AdjacentSlope * g.AdjacentSlope)))).DefaultIfEmpty(0).Max();
}

/// <summary>A photo that was measured, and what it truly shows: the picture that the inspector holds in the hand.</summary>
/// <param name="Measurement">With the marks as they are numbered on the picture.</param>
/// <param name="Photo">Its truth.</param>
public sealed record PictureInHand(Measurement Measurement, KnownPhoto Photo);
