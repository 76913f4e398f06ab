namespace GrainVision.Grading.Findings;

/// <summary>The trade's words for blemish kinds: the same in reasons, pictures and tables.</summary>
public static class BlemishWords
{
    /// <summary>The same with hyphens: the word that the contract takes and gives for a kind.</summary>
    internal static string Code(BlemishKind kind) => From(kind).Replace(' ', '-');

    /// <summary>Singular, lower case, without an article.</summary>
    public static string From(BlemishKind kind) => kind switch
    {
        BlemishKind.Knot => "knot",
        BlemishKind.LooseKnot => "loose knot",
        BlemishKind.PinKnotCluster => "pin-knot cluster",
        BlemishKind.SpikeKnot => "spike knot",
        BlemishKind.PitchPocket => "pitch pocket",
        BlemishKind.Check => "check",
        BlemishKind.ShakeOrSplit => "shake or split",
        BlemishKind.BoreHole => "bore hole",
        BlemishKind.DentOrGouge => "dent or gouge",
        BlemishKind.Stain => "stain",
        BlemishKind.Pith => "pith",
        _ => "mark of unknown kind",
    };
}
