using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>Photos on which rare kinds of blemishes are not rare: for training, and for fitting what follows it.</summary>
public static class EveryKind
{
    private static readonly BlemishKind[] Kinds =
    [
        BlemishKind.Knot, BlemishKind.LooseKnot, BlemishKind.PitchPocket, BlemishKind.Check, BlemishKind.PinKnotCluster, BlemishKind.BoreHole,
        BlemishKind.SpikeKnot, BlemishKind.Stain, BlemishKind.ShakeOrSplit, BlemishKind.DentOrGouge,
        // Cracks twice: they are never allowed, and the thinnest of all blemishes.
        BlemishKind.Check, BlemishKind.ShakeOrSplit,
    ];

    /// <summary>Every third surface an end; of four, two with one blemish asked for, one clear, one as the seed has it; every second with rarer woods and marks.</summary>
    public static SceneRequest Request(int seed)
    {
        var end = seed % 3 == 2;
        var kind = Kinds[(seed / 4 * 5 + seed) % Kinds.Length];
        return new SceneRequest
        {
            Seed = seed,
            View = end ? View.End : View.Face,
            Difficulty = (Difficulty)(seed / 12 % 3),
            Megapixels = seed / 36 % 2 == 0 ? 1 : 2,
            Variety = seed / 72 % 2 == 0,
            PithDistanceMm = end && seed % 24 == 2 ? 6 : null,
            Blemishes = (seed % 4) switch { 0 or 1 => [kind], 2 => [], _ => null },
        };
    }
}
