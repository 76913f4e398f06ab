using System.Text.Json.Serialization;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Findings;

/// <summary>What a blemish is. The last one is a candidate that no class explains: for a person to look at.</summary>
public enum BlemishKind
{
    [JsonStringEnumMemberName("knot")]
    Knot,

    [JsonStringEnumMemberName("loose-knot")]
    LooseKnot,

    [JsonStringEnumMemberName("pin-knot-cluster")]
    PinKnotCluster,

    [JsonStringEnumMemberName("spike-knot")]
    SpikeKnot,

    [JsonStringEnumMemberName("pitch-pocket")]
    PitchPocket,

    [JsonStringEnumMemberName("check")]
    Check,

    [JsonStringEnumMemberName("shake-or-split")]
    ShakeOrSplit,

    [JsonStringEnumMemberName("bore-hole")]
    BoreHole,

    [JsonStringEnumMemberName("dent-or-gouge")]
    DentOrGouge,

    [JsonStringEnumMemberName("stain")]
    Stain,

    [JsonStringEnumMemberName("pith")]
    Pith,

    [JsonStringEnumMemberName("unknown")]
    Unknown,
}

/// <summary>A blemish, or a candidate for one: <paramref name="Probability"/> says how sure.</summary>
/// <param name="Kind">Likeliest kind.</param>
/// <param name="Probability">Probability that it is a blemish of this kind, 0 to 1.</param>
/// <param name="Centre">Middle, px.</param>
/// <param name="SizeMm">Distance between two lines parallel to the face's edges that enclose it (ANC-19 2.301), mm.</param>
/// <param name="DiameterMm">Least distance between any two parallel lines that enclose it (ANC-19 2.301), mm.</param>
/// <param name="LengthMm">Extent along the piece (along side 1-2), mm.</param>
/// <param name="WidthMm">Extent across the piece, mm.</param>
/// <param name="EdgeDistanceMm">Least distance from its rim to the nearest edge of the surface, mm; 0 at the edge.</param>
/// <param name="Outline">Its rim, px.</param>
public sealed record BlemishFinding(
    BlemishKind Kind,
    double Probability,
    PointPx Centre,
    Measured SizeMm,
    Measured DiameterMm,
    double LengthMm,
    double WidthMm,
    double EdgeDistanceMm,
    IReadOnlyList<PointPx> Outline)
{
    /// <summary>Middle along side 1-2 of the outline from corner 1, mm.</summary>
    public double AlongMm { get; init; }

    /// <summary>Middle across from side 1-2, mm.</summary>
    public double AcrossMm { get; init; }

    /// <summary>
    /// Probability that it is a blemish of any kind, 0 to 1: at least <see cref="Probability"/>. Null where only the kind was judged.
    /// </summary>
    public double? BlemishProbability { get; init; }

    /// <summary>
    /// Of a knot on a face: steepest line of the grain between it and the nearer long edge, tangent against the piece's axis, unsigned. Where ring
    /// lines show the fibres this is the grain at the board's edge (AC 43.13-1B Table 1-1). Null where no lines show there.
    /// </summary>
    public Measured? EdgeGrain { get; init; }
}
