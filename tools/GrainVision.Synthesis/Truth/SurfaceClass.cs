using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>What a place of the surface shows, in the order of models/surface/1/classes.json.</summary>
internal enum SurfaceClass
{
    Knot,
    Crack,
    Pocket,
    Hole,
    Dent,
    Stain,
    Pith,
    Marking,
    Machining,
    Dirt,
    Glare,
    IndentedRings,
    BrightSapwood,
    RedStreak,
    Wood,
}

internal static class SurfaceClasses
{
    /// <summary>Names as they stand in truth files and in classes.json, in order.</summary>
    public static IReadOnlyList<string> Names { get; } = [.. Enum.GetNames<SurfaceClass>().Select(n => char.ToLowerInvariant(n[0]) + n[1..])];

    public static ushort Bit(this SurfaceClass c) => (ushort)(1 << (int)c);

    /// <summary>The class that a feature paints.</summary>
    public static SurfaceClass Of(Feature feature) => feature.Kind switch
    {
        BlemishKind.Knot or BlemishKind.LooseKnot or BlemishKind.SpikeKnot or BlemishKind.PinKnotCluster => SurfaceClass.Knot,
        BlemishKind.Check or BlemishKind.ShakeOrSplit => SurfaceClass.Crack,
        BlemishKind.PitchPocket => SurfaceClass.Pocket,
        BlemishKind.BoreHole => SurfaceClass.Hole,
        BlemishKind.DentOrGouge => SurfaceClass.Dent,
        BlemishKind.Stain => SurfaceClass.Stain,
        BlemishKind.Pith => SurfaceClass.Pith,
        _ => feature.Harmless switch
        {
            "pencil-mark" or "stamp" => SurfaceClass.Marking,
            "saw-step" or "planer-chatter" or "torn-fibres" or "saw-fuzz" => SurfaceClass.Machining,
            "dirt" => SurfaceClass.Dirt,
            "red-streak" => SurfaceClass.RedStreak,
            var other => throw new ArgumentException($"No class for {feature.Kind} {other}.", nameof(feature)),
        },
    };
}
