using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>Which part of a face's figure to look at, by its scale across the grain.</summary>
/// <param name="FineSigmaMm">Finer than this is noise and fibre ends; smoothed away.</param>
/// <param name="CoarseSigmaMm">Coarser than this is light, colour and knots; subtracted.</param>
internal readonly record struct FigureBand(double FineSigmaMm, double CoarseSigmaMm)
{
    /// <summary>Growth-ring lines: 0.85 mm (30 per inch) to about 6 mm apart.</summary>
    public static FigureBand RingLines => new(0.12, 3);

    /// <summary>Fibre streaks: well under a ring's width.</summary>
    public static FigureBand FibreStreaks => new(0.03, 0.3);
}

/// <summary>
/// A face's figure ready for slope search: band-passed across the grain, clipped so that a knot cannot shout, averaged over short
/// stretches along the piece (which costs no sharpness at the slopes that matter).
/// </summary>
internal sealed class FaceFigure
{
    /// <summary>0.8 mm: stretch averaged along the piece; at a slope of 1:8 lines shift by 0.1 mm within it.</summary>
    private const double AlongMm = 0.8;

    private FaceFigure(float[] values, bool[] inside, int width, int height, double alongPerMm, double acrossPerMm, Point2d originMm)
    {
        Values = values;
        Inside = inside;
        Width = width;
        Height = height;
        AlongPerMm = alongPerMm;
        AcrossPerMm = acrossPerMm;
        OriginMm = originMm;
    }

    /// <summary>Row-major: row = across the face (v), column = along it (u). Zero mean, clipped at 2.5 robust deviations.</summary>
    public float[] Values { get; }

    public bool[] Inside { get; }

    public int Width { get; }

    public int Height { get; }

    /// <summary>Columns per mm along the piece.</summary>
    public double AlongPerMm { get; }

    /// <summary>Rows per mm across it.</summary>
    public double AcrossPerMm { get; }

    public Point2d OriginMm { get; }

    /// <param name="raster">The face.</param>
    /// <param name="band">Which figure to keep.</param>
    /// <param name="leaveOut">CV_8UC1 of the raster's size: non-zero where wood is left out (knots and what flows round them); null for none.</param>
    public static FaceFigure From(SectionRaster raster, FigureBand band, Mat? leaveOut)
    {
        var pitch = raster.PitchPxPerMm;
        using var fine = new Mat();
        Cv2.GaussianBlur(raster.Grey, fine, new Size(1, 0), 0.01, Math.Max(0.5, band.FineSigmaMm * pitch));
        using var coarse = new Mat();
        Cv2.GaussianBlur(raster.Grey, coarse, new Size(0, 0), Math.Max(1, 0.5 * band.CoarseSigmaMm * pitch), Math.Max(1.2, band.CoarseSigmaMm * pitch));
        using var passed = new Mat();
        Cv2.Subtract(fine, coarse, passed);

        using var inside = raster.Mask.Clone();
        if (leaveOut is not null)
            inside.SetTo(Scalar.All(0), leaveOut);
        // The saw's edge is a line too, and the straightest of all: keep clear of it.
        using var kernel = Cv2.GetStructuringElement(MorphShapes.Rect, new Size(3, (2 * (int)Math.Ceiling(1.0 * pitch)) + 1));
        Cv2.Erode(inside, inside, kernel, borderType: BorderTypes.Constant, borderValue: Scalar.All(0));

        var columns = Math.Max(4, (int)Math.Round(raster.Grey.Width / Math.Max(1, AlongMm * pitch)));
        var height = raster.Grey.Height;
        using var reduced = new Mat();
        Cv2.Resize(passed, reduced, new Size(columns, height), 0, 0, InterpolationFlags.Area);
        using var insideReduced = new Mat();
        Cv2.Resize(inside, insideReduced, new Size(columns, height), 0, 0, InterpolationFlags.Area);
        reduced.GetArray(out float[] values);
        insideReduced.GetArray(out byte[] cover);
        var kept = cover.Select(c => c > 200).ToArray();
        Clip(values, kept);
        var alongPerMm = columns / (raster.Grey.Width / pitch);
        return new FaceFigure(values, kept, columns, height, alongPerMm, pitch, raster.OriginMm);
    }

    private static void Clip(float[] values, bool[] kept)
    {
        var some = values.Where((_, i) => kept[i] && i % 7 == 0).Select(Math.Abs).Order().ToArray();
        var deviation = some.Length == 0 ? 1 : Math.Max(1e-3f, 1.4826f * some[some.Length / 2]);
        for (var i = 0; i < values.Length; i++)
            values[i] = kept[i] ? Math.Clamp(values[i] / deviation, -2.5f, 2.5f) : 0;
    }
}
