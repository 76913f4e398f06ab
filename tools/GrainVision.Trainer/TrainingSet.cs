using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Trainer;

/// <summary>A run of synthetic seeds: first those that the trees are grown on, then those for calibration, then those for the figures.</summary>
internal sealed record SeedBlock(int FirstSeed, int Training, int Calibration, int Test);

/// <summary>All pictures of one training run, in a fixed order.</summary>
/// <param name="Fixtures">Folder with the real pictures.</param>
/// <param name="Before">Synthetic seeds before the real pictures.</param>
/// <param name="After">Synthetic seeds after them.</param>
/// <param name="Pictures">Folder that drawn pictures are kept in; empty: they are drawn each time.</param>
internal sealed record TrainingSet(string Fixtures, SeedBlock Before, SeedBlock After, string Pictures)
{
    /// <summary>Pitches at which training surfaces are looked at in turn: the real tiles are coarse, and so are photos of long boards.</summary>
    private static readonly double[] Pitches = [3, 2.2, 3, 1.6];

    /// <summary>Makers of the pictures, so that several can be made at once.</summary>
    public IEnumerable<Func<LabelledFace>> Faces() => Synthetic(Before).Concat(Real()).Concat(Synthetic(After));

    private IEnumerable<Func<LabelledFace>> Synthetic(SeedBlock block)
    {
        for (var i = 0; i < block.Training + block.Calibration + block.Test; i++)
        {
            var split = i < block.Training ? Split.Training : i < block.Training + block.Calibration ? Split.Calibration : Split.Test;
            var (seed, pitch) = (block.FirstSeed + i, split == Split.Test ? Pitches[0] : Pitches[i / 2 % Pitches.Length]);
            yield return () => PictureFolder.Get(Pictures, seed, split, () => SyntheticFaces.Make(seed, split)) with { FinestPitch = pitch };
        }
    }

    private IEnumerable<Func<LabelledFace>> Real()
    {
        var real = new RealFaces(Fixtures);
        foreach (var face in real.Tiles())
        {
            if (face.Split == Split.Test)
                yield return () => face;
            else
                foreach (var variant in Variants(face, [0.8, 1, 1.25]))
                    yield return () => variant;
        }

        foreach (var face in real.ClearSections())
        {
            if (face.Split == Split.Test)
                yield return () => face;
            else
                foreach (var variant in Variants(face, [0.7, 1]))
                    yield return () => variant;
        }
    }

    /// <summary>A face as it is, mirrored both ways and turned round, each at several scales and lights.</summary>
    private static IEnumerable<LabelledFace> Variants(LabelledFace face, double[] scales)
    {
        var turn = 0;
        foreach (var scale in scales)
        {
            foreach (var flip in (FlipMode?[])[null, FlipMode.X, FlipMode.Y, FlipMode.XY])
            {
                var gain = 0.75 + (0.1 * (turn++ % 5));
                yield return Variant(face, flip, gain) with { PixelsPerMm = face.PixelsPerMm * scale };
            }
        }
    }

    private static LabelledFace Variant(LabelledFace face, FlipMode? flip, double gain)
    {
        using var first = face.Bgr();
        var (w, h) = (first.Width - 1.0, first.Height - 1.0);
        PointPx Map(PointPx p) => flip switch
        {
            FlipMode.X => new(p.X, h - p.Y),
            FlipMode.Y => new(w - p.X, p.Y),
            FlipMode.XY => new(w - p.X, h - p.Y),
            _ => p,
        };
        return face with
        {
            Name = $"{face.Name} {flip}",
            Corners = [.. face.Corners.Select(Map)],
            Blemishes = [.. face.Blemishes.Select(b => b with { Outline = [.. b.Outline.Select(Map)] })],
            Bgr = () =>
            {
                var mat = face.Bgr();
                if (flip is { } mode)
                    Cv2.Flip(mat, mat, mode);
                mat.ConvertTo(mat, -1, gain, 0);
                return mat;
            },
        };
    }
}
