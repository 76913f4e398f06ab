using System.Runtime.InteropServices;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Synthesis;
using OpenCvSharp;

namespace GrainVision.Trainer;

/// <summary>Faces and ends of the synthesiser with blemishes asked for in turn, so that rare kinds are not rare here.</summary>
internal static class SyntheticFaces
{
    /// <summary>1 MP: five pixels a millimetre, more than the blemish stage looks at, in half the time of 2 MP.</summary>
    private const double Megapixels = 1;

    private static readonly BlemishKind[] Kinds =
    [
        BlemishKind.Knot, BlemishKind.LooseKnot, BlemishKind.PitchPocket, BlemishKind.Check, BlemishKind.PinKnotCluster, BlemishKind.BoreHole,
        BlemishKind.Knot, BlemishKind.Stain, BlemishKind.ShakeOrSplit, BlemishKind.DentOrGouge, BlemishKind.Knot,
        // Cracks twice: they are never allowed, and the thinnest of all blemishes.
        BlemishKind.Check, BlemishKind.ShakeOrSplit,
    ];

    /// <summary>The scene of one seed: every fourth surface clear wood, every sixth an end.</summary>
    public static SceneRequest Request(int seed)
    {
        var end = seed % 6 == 5;
        var clear = seed % 4 == 3;
        var pick = (seed / 2) + (seed / 24);
        IReadOnlyList<BlemishKind> asked = clear ? [] : [Kinds[pick % Kinds.Length], Kinds[(pick + 4) % Kinds.Length]];
        return new SceneRequest
        {
            Seed = seed,
            View = end ? View.End : View.Face,
            Difficulty = (Difficulty)(seed / 6 % 3),
            Megapixels = Megapixels,
            // Every fifth end with blemishes has its pith in the section.
            PithDistanceMm = end && !clear && seed / 6 % 2 == 0 ? 6 : null,
            Blemishes = end && !clear && seed / 6 % 2 == 0 ? [.. asked, BlemishKind.Pith] : asked,
        };
    }

    public static LabelledFace Make(int seed, Split split)
    {
        var made = Synthesiser.Make(Request(seed));
        return Of(made, split);
    }

    public static LabelledFace Of(SynthesisedPhoto made, Split split)
    {
        var truth = made.Truth;
        var blemishes = truth.Blemishes.Select(b => new TrueBlemish(b.Kind, b.Outline, b.DiameterMm)).ToList();
        // A pixel of slack in the corners: no finder places them better.
        var random = new Random(truth.Seed);
        var corners = truth.Outline.Select(c => new PointPx(c.X + random.NextDouble() - 0.5, c.Y + random.NextDouble() - 0.5)).ToList();
        return new LabelledFace($"seed {truth.Seed}", Source.Synthetic, split, truth.View, corners, truth.Scale.PixelsPerMm, blemishes, () =>
        {
            var mat = new Mat(made.Height, made.Width, MatType.CV_8UC3);
            Marshal.Copy(made.Bgr, 0, mat.Data, made.Bgr.Length);
            return mat;
        });
    }
}
