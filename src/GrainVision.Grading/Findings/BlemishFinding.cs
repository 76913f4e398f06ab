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

/// <summary>What kinds have in common.</summary>
public static class BlemishKinds
{
    /// <summary>True of every kind of knot, clusters of pin knots too.</summary>
    public static bool IsKnot(BlemishKind kind) =>
        kind is BlemishKind.Knot or BlemishKind.LooseKnot or BlemishKind.PinKnotCluster or BlemishKind.SpikeKnot;
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
    /// Every kind that it may be, likeliest first, where a classifier gave them; what is missing to 1 is the probability that it is no
    /// blemish. Null: only <see cref="Kind"/> and <see cref="Probability"/> are known.
    /// </summary>
    public IReadOnlyList<KindProbability>? Kinds { get; init; }

    /// <summary>
    /// Steepest slope of grain at the edges of the face beside the blemish, tangent, signed: AC 43.13-1B lets a knot pass only where the grain at
    /// the edge keeps to the slope limit. Null where it was not measured.
    /// </summary>
    public Measured? EdgeSlope { get; init; }

    /// <summary>Of a dismissed mark: what it was taken for. Null on a blemish.</summary>
    public HarmlessKind? HarmlessKind { get; init; }

    /// <summary>Its number on the picture, where others of its list were struck out; null: its place in the list, from 1.</summary>
    public int? Number { get; init; }

    /// <summary>
    /// Probability that it is a blemish of any kind, 0 to 1: at least <see cref="Probability"/>. Null where only the kind was judged.
    /// </summary>
    public double? BlemishProbability { get; init; }
}

/// <summary>How likely a blemish is of one kind.</summary>
/// <param name="Kind">The kind.</param>
/// <param name="Probability">0 to 1.</param>
public readonly record struct KindProbability(BlemishKind Kind, double Probability);
