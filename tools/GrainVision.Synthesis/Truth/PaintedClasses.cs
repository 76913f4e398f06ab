using GrainVision.Grading.Findings;
using GrainVision.Measuring.Surfaces;

namespace GrainVision.Synthesis;

/// <summary>Which of the surface network's classes is painted where: one bit each in a mask.</summary>
public static class PaintedClasses
{
    /// <summary>Names as they stand in truth files and in models/surface/1/classes.json, in the order of the bits.</summary>
    internal static IReadOnlyList<string> Names { get; } = [.. Enum.GetNames<MarkClass>().Select(n => char.ToLowerInvariant(n[0]) + n[1..])];

    internal static ushort Bit(this MarkClass c) => (ushort)(1 << (int)c);

    /// <summary>The class of a blemish; null for what is none.</summary>
    public static MarkClass? Of(BlemishKind? kind) => kind switch
    {
        BlemishKind.Knot or BlemishKind.LooseKnot or BlemishKind.SpikeKnot or BlemishKind.PinKnotCluster => MarkClass.Knot,
        BlemishKind.Check or BlemishKind.ShakeOrSplit => MarkClass.Crack,
        BlemishKind.PitchPocket => MarkClass.Pocket,
        BlemishKind.BoreHole => MarkClass.Hole,
        BlemishKind.DentOrGouge => MarkClass.Dent,
        BlemishKind.Stain => MarkClass.Stain,
        BlemishKind.Pith => MarkClass.Pith,
        _ => null,
    };

    /// <summary>The class that a feature paints.</summary>
    internal static MarkClass Of(Feature feature) => Of(feature.Kind) ?? feature.Harmless switch
    {
        "pencil-mark" or "stamp" => MarkClass.Marking,
        "saw-step" or "planer-chatter" or "torn-fibres" or "saw-fuzz" => MarkClass.Machining,
        "dirt" => MarkClass.Dirt,
        "red-streak" => MarkClass.RedStreak,
        var other => throw new ArgumentException($"No class for {feature.Kind} {other}.", nameof(feature)),
    };
}
