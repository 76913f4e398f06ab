using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>
/// A face averaged over short stretches along the piece: an eighth of the pixels, without loss of sharpness at the slopes that matter.
/// Owns native memory: dispose it.
/// </summary>
internal sealed class FaceStrips : IDisposable
{
    /// <summary>0.8 mm: stretch averaged along the piece; at a slope of 1:8 lines shift by 0.1 mm within it.</summary>
    private const double AlongMm = 0.8;

    /// <summary>1 mm: kept clear of the piece's edges and of what was left out; the saw's edge is a line too, and the straightest of all.</summary>
    private const double ClearMm = 1;

    private FaceStrips(Mat grey, Mat inside, double columnsPerMm, double rowsPerMm, Point2d originMm)
    {
        Grey = grey;
        Inside = inside;
        ColumnsPerMm = columnsPerMm;
        RowsPerMm = rowsPerMm;
        OriginMm = originMm;
    }

    /// <summary>CV_32FC1: row = across the face (v), column = along it (u).</summary>
    public Mat Grey { get; }

    /// <summary>CV_8UC1 of the same size: 255 on clear wood, 0 elsewhere.</summary>
    public Mat Inside { get; }

    public double ColumnsPerMm { get; }

    public double RowsPerMm { get; }

    /// <summary>(u, v) of the first strip's corner, mm.</summary>
    public Point2d OriginMm { get; }

    /// <param name="raster">The face.</param>
    /// <param name="leaveOut">CV_8UC1 of the raster's size: non-zero where wood is left out (knots and what flows round them); null for none.</param>
    public static FaceStrips From(RectifiedSurface raster, Mat? leaveOut)
    {
        var pitch = raster.PitchPxPerMm;
        var size = new Size(Math.Max(4, (int)Math.Round(raster.Grey.Width / Math.Max(1, AlongMm * pitch))), raster.Grey.Height);
        var grey = new Mat();
        Cv2.Resize(raster.Grey, grey, size, 0, 0, InterpolationFlags.Area);
        var inside = Whole(raster.Mask, size);
        if (leaveOut is not null)
        {
            using var none = new Mat();
            Cv2.BitwiseNot(leaveOut, none);
            using var clear = Whole(none, size);
            Cv2.BitwiseAnd(inside, clear, inside);
        }

        using var kernel = Cv2.GetStructuringElement(MorphShapes.Rect, new Size(1, (2 * (int)Math.Ceiling(ClearMm * pitch)) + 1));
        Cv2.Erode(inside, inside, kernel, borderType: BorderTypes.Constant, borderValue: Scalar.All(0));
        return new FaceStrips(grey, inside, size.Width / (raster.Grey.Width / pitch), pitch, raster.OriginMm);
    }

    /// <summary>The same with fewer rows to a mm, where that is enough; the caller disposes it.</summary>
    public FaceStrips Coarser(double mostRowsPerMm)
    {
        var rows = RowsPerMm <= mostRowsPerMm ? Grey.Height : Math.Max(8, (int)Math.Round(Grey.Height * mostRowsPerMm / RowsPerMm));
        var size = new Size(Grey.Width, rows);
        var grey = new Mat();
        Cv2.Resize(Grey, grey, size, 0, 0, InterpolationFlags.Area);
        return new FaceStrips(grey, Whole(Inside, size), ColumnsPerMm, RowsPerMm * rows / Grey.Height, OriginMm);
    }

    public void Dispose()
    {
        Grey.Dispose();
        Inside.Dispose();
    }

    /// <summary>A mask made smaller: 255 only where all that went into a pixel is set, a fifth forgiven.</summary>
    private static Mat Whole(Mat mask, Size size)
    {
        var small = new Mat();
        Cv2.Resize(mask, small, size, 0, 0, InterpolationFlags.Area);
        Cv2.Threshold(small, small, 200, 255, ThresholdTypes.Binary);
        return small;
    }
}
