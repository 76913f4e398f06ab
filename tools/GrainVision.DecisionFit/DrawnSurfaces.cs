using System.Runtime.InteropServices;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Surfaces;
using GrainVision.Synthesis;
using OpenCvSharp;

namespace GrainVision.DecisionFit;

/// <summary>Faces and ends of the synthesiser: as the seed draws them, clear, or with blemishes asked for in turn so that rare kinds are not rare here.</summary>
internal static class DrawnSurfaces
{
    /// <summary>0.4 mm: standard deviation of the outline's corners; a finder is off by about that.</summary>
    private const double CornerMm = 0.4;

    /// <summary>
    /// 0.1: darkness against the surroundings, as the camera leaves it, from which a mark can be told (<see cref="BlemishTruth.Contrast"/>: under it a person would look twice).
    /// </summary>
    private const double SeenContrast = 0.1;

    /// <summary>1 px: a mark narrower than a pixel of the photo is not resolved, however dark; a growth line may be all that it is.</summary>
    private const double SeenPx = 1;

    /// <summary>As the accuracy figures draw them: what a seed gives.</summary>
    public static SceneRequest PlainRequest(int seed) => SynthesisCommand.Request(seed, new Dictionary<string, string>());

    public static KnownSurface Make(SceneRequest request, Use use)
    {
        var (made, mask) = Synthesiser.RenderWithMask(SceneBuilder.Build(request));
        var truth = made.Truth;
        var random = new Random(truth.Seed);
        double Off() => truth.Scale.PixelsPerMm * CornerMm * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        return new KnownSurface(
            $"seed {truth.Seed}", true, use, truth.View, [.. truth.Outline.Select(c => new PointPx(c.X + Off(), c.Y + Off()))], truth.Scale.PixelsPerMm,
            [.. truth.Blemishes.Select(b => new TrueMark(b.Kind, b.Outline, b.DiameterMm, IsResolved(b, mask, truth)))],
            () =>
            {
                var mat = new Mat(made.Height, made.Width, MatType.CV_8UC3);
                Marshal.Copy(made.Bgr, 0, mat.Data, made.Bgr.Length);
                return mat;
            });
    }

    /// <summary>
    /// Its contrast as blur leaves it: a band narrower than 2.5 standard deviations of the blur loses it in proportion (integral of a Gaussian). Its width is what is
    /// painted over its length, since the outline of a winding crack is much wider than the crack.
    /// </summary>
    private static bool IsResolved(BlemishTruth b, ClassMask mask, PhotoTruth truth)
    {
        var bit = 1 << (int)PaintedClasses.Of(b.Kind)!.Value;
        var (left, right) = ((int)b.Outline.Min(p => p.X), (int)Math.Ceiling(b.Outline.Max(p => p.X)));
        var (top, bottom) = ((int)b.Outline.Min(p => p.Y), (int)Math.Ceiling(b.Outline.Max(p => p.Y)));
        var painted = 0;
        for (var y = Math.Max(0, top); y <= Math.Min(mask.Height - 1, bottom); y++)
        {
            for (var x = Math.Max(0, left); x <= Math.Min(mask.Width - 1, right); x++)
                painted += (mask.At(x, y) & bit) != 0 ? 1 : 0;
        }

        var length = Math.Max(1, Math.Max(b.LengthMm, b.WidthMm) * truth.Scale.PixelsPerMm);
        var width = Math.Min(painted / length, b.DiameterMm * truth.Scale.PixelsPerMm);
        // 0.5 px: the pixel's own width.
        var seen = b.Contrast * Math.Min(1, width / (2.5 * Math.Max(0.5, truth.Conditions.BlurSigmaPx)));
        return width >= SeenPx && seen >= SeenContrast;
    }
}
