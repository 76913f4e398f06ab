using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Surfaces;

/// <summary>Kinds that a region of the surface may turn out as, in the order of the trees' probabilities.</summary>
internal static class BlemishClasses
{
    /// <summary>Index of "not a blemish".</summary>
    public const int None = 0;

    private static readonly BlemishKind[] Kinds =
    [
        BlemishKind.Knot, BlemishKind.LooseKnot, BlemishKind.PinKnotCluster, BlemishKind.SpikeKnot, BlemishKind.PitchPocket, BlemishKind.Check,
        BlemishKind.ShakeOrSplit, BlemishKind.BoreHole, BlemishKind.DentOrGouge, BlemishKind.Stain, BlemishKind.Pith,
    ];

    public static int Count => Kinds.Length + 1;

    /// <summary>The kind of a class; null for <see cref="None"/>.</summary>
    public static BlemishKind? KindOf(int index) => index == None ? null : Kinds[index - 1];

    public static int IndexOf(BlemishKind? kind) => kind is { } k ? Array.IndexOf(Kinds, k) + 1 : None;

    /// <summary>The trade's word for a class.</summary>
    public static string Word(int index) => KindOf(index) is { } kind ? BlemishWords.From(kind) : "not a blemish";

    /// <summary>The likeliest class that is a blemish.</summary>
    public static int Likeliest(IReadOnlyList<double> p) => Enumerable.Range(1, p.Count - 1).MaxBy(k => p[k]);
}
