using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// How much darker a place is than the wood on both sides of it, whichever way it runs. <see cref="LineBackground"/> compares a place with its
/// own growth line, so a crack that runs along one is its own background there and vanishes; here it does not.
/// </summary>
/// <remarks>
/// The grey-level closing less the picture (black top-hat): J. Serra, "Image analysis and mathematical morphology", 1982.
/// </remarks>
internal static class ThinLines
{
    /// <summary>Twice as fine as the raster, 6 px/mm as a rule: a check of 0.3 mm is nearly two pixels wide; at half of that it loses half of its contrast.</summary>
    private const double Finer = 2;

    /// <summary>8 MP: the finer surface of a long board.</summary>
    private const double MostPixels = 8e6;

    /// <summary>1.8 mm: wider than any crack that is a line, narrower than a knot.</summary>
    private const double WindowMm = 1.8;

    /// <summary>0.1 mm: what noise is smoothed by.</summary>
    private const double SigmaMm = 0.1;

    /// <summary>Share of the light beside it that a place lacks, 0 to 1, one value a pixel of the raster: the deepest of the finer pixels there.</summary>
    /// <param name="photo">The photo.</param>
    /// <param name="raster">The surface that candidates are looked for on.</param>
    public static float[] Of(UprightPhoto photo, RectifiedSurface raster)
    {
        using var fine = RectifiedSurface.Resample(photo, raster.Plane, Finer * raster.PitchPxPerMm, MostPixels);
        var ratio = Math.Max(1, fine.PitchPxPerMm / raster.PitchPxPerMm);
        using var smooth = new Mat();
        Cv2.GaussianBlur(fine.Grey, smooth, new Size(0, 0), Math.Max(0.6, SigmaMm * fine.PitchPxPerMm));
        var side = (2 * (int)Math.Ceiling(WindowMm * fine.PitchPxPerMm / 2)) + 1;
        using var window = Cv2.GetStructuringElement(MorphShapes.Rect, new Size(side, side));
        using var beside = new Mat();
        Cv2.MorphologyEx(smooth, beside, MorphTypes.Close, window);
        using var share = new Mat();
        // 8: grey level below which a shadow holds no wood to compare with.
        Cv2.Max(beside, Scalar.All(8), share);
        Cv2.Subtract(beside, smooth, beside);
        Cv2.Divide(beside, share, share);
        if (ratio > 1)
        {
            using var pool = Cv2.GetStructuringElement(MorphShapes.Rect, new Size((int)Math.Ceiling(ratio), (int)Math.Ceiling(ratio)));
            Cv2.Dilate(share, share, pool);
        }

        // Both rasters begin at the same millimetre: the coarse pixel (x, y) is the fine one (x ratio, y ratio).
        using var map = Mat.FromPixelData(2, 3, MatType.CV_64FC1, new double[] { ratio, 0, 0, 0, ratio, 0 });
        using var coarse = new Mat();
        Cv2.WarpAffine(share, coarse, map, raster.Grey.Size(), InterpolationFlags.Nearest | InterpolationFlags.WarpInverseMap, BorderTypes.Replicate);
        coarse.GetArray(out float[] result);
        return result;
    }
}
