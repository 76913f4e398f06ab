using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Orientation;

/// <summary>
/// The wood along a radial path, unrolled so that every ring is a vertical line: column = distance along the path, row =
/// distance along the ring. Averaging down a column then follows the rings' curvature.
/// Owns native memory: dispose it.
/// </summary>
internal sealed class UnrolledStrip : IDisposable
{
    private UnrolledStrip(Mat grey, Mat inside, Mat mapX, Mat mapY, double pitch, int centreRow)
    {
        Grey = grey;
        Inside = inside;
        MapX = mapX;
        MapY = mapY;
        PitchPxPerMm = pitch;
        CentreRow = centreRow;
    }

    /// <summary>CV_32FC1: columns along the path, rows along the ring.</summary>
    public Mat Grey { get; }

    /// <summary>CV_32FC1: 1 inside the section, 0 outside.</summary>
    public Mat Inside { get; }

    /// <summary>CV_32FC1: the raster's x of each strip pixel.</summary>
    public Mat MapX { get; }

    /// <summary>CV_32FC1: the raster's y of each strip pixel.</summary>
    public Mat MapY { get; }

    /// <summary>Columns per mm of path.</summary>
    public double PitchPxPerMm { get; }

    /// <summary>Row that lies on the path itself.</summary>
    public int CentreRow { get; }

    /// <summary>Unrolls the strip, then straightens what the field left crooked.</summary>
    /// <param name="raster">The section.</param>
    /// <param name="field">Ring normals.</param>
    /// <param name="path">Its step is one column.</param>
    /// <param name="halfWidthMm">How far to follow each ring to either side.</param>
    public static UnrolledStrip Unroll(RectifiedSurface raster, RingField field, RadialPath path, double halfWidthMm) => Unroll(raster, field, path, halfWidthMm, 2);

    /// <summary>Unrolls the strip along the field as it is: lines that the field missed stay crooked.</summary>
    public static UnrolledStrip Along(RectifiedSurface raster, RingField field, RadialPath path, double halfWidthMm) => Unroll(raster, field, path, halfWidthMm, 0);

    public void Dispose()
    {
        Grey.Dispose();
        Inside.Dispose();
        MapX.Dispose();
        MapY.Dispose();
    }

    private static UnrolledStrip Unroll(RectifiedSurface raster, RingField field, RadialPath path, double halfWidthMm, int straightenings)
    {
        var pitch = 1 / path.StepMm;
        // A row every 2 columns' worth along the ring: nothing changes fast that way.
        var rowMm = 2 * path.StepMm;
        var half = Math.Max(3, (int)Math.Round(halfWidthMm / rowMm));
        var (mapX, mapY) = Maps(raster, field, path, half, rowMm);
        var (grey, inside) = Sample(raster, mapX, mapY);
        for (var round = 0; round < straightenings; round++)
        {
            StripUnroller.Straighten(grey, inside, mapX, mapY, half, pitch);
            grey.Dispose();
            inside.Dispose();
            (grey, inside) = Sample(raster, mapX, mapY);
        }

        return new UnrolledStrip(grey, inside, mapX, mapY, pitch, half);
    }

    private static (Mat Grey, Mat Inside) Sample(RectifiedSurface raster, Mat mapX, Mat mapY)
    {
        var grey = new Mat();
        Cv2.Remap(raster.Grey, grey, mapX, mapY, InterpolationFlags.Cubic, BorderTypes.Replicate);
        using var mask = new Mat();
        var inside = new Mat();
        Cv2.Remap(raster.Mask, mask, mapX, mapY, InterpolationFlags.Nearest, BorderTypes.Constant, Scalar.All(0));
        mask.ConvertTo(inside, MatType.CV_32FC1, 1 / 255.0);
        return (grey, inside);
    }

    /// <summary>Raster coordinates of every strip pixel: each ring followed from the path in half-millimetre steps, the rest interpolated.</summary>
    private static (Mat MapX, Mat MapY) Maps(RectifiedSurface raster, RingField field, RadialPath path, int half, double rowMm)
    {
        const int every = 4;
        var coarseColumns = ((path.PointsMm.Length - 1) / every) + 2;
        var coarseHalf = (half + every - 1) / every;
        var coarseRows = (2 * coarseHalf) + 1;
        var x = new float[coarseRows * coarseColumns];
        var y = new float[coarseRows * coarseColumns];
        for (var c = 0; c < coarseColumns; c++)
        {
            // One column past the end, by extrapolation, keeps the interpolation exact to the last real column.
            var index = c * every;
            var inPath = Math.Min(index, path.PointsMm.Length - 1);
            var beyond = (index - inPath) * path.StepMm;
            var start = new Point2d(
                path.PointsMm[inPath].X + (beyond * Math.Cos(path.TangentRad[inPath])),
                path.PointsMm[inPath].Y + (beyond * Math.Sin(path.TangentRad[inPath])));
            foreach (var side in (int[])[-1, 1])
            {
                var at = start;
                for (var r = 0; r <= coarseHalf; r++)
                {
                    var p = raster.FromMm(at);
                    var i = ((coarseHalf + (side * r)) * coarseColumns) + c;
                    (x[i], y[i]) = ((float)p.X, (float)p.Y);
                    var tangent = field.NormalRad(at) + (Math.PI / 2);
                    var step = side * every * rowMm;
                    at = new Point2d(at.X + (step * Math.Cos(tangent)), at.Y + (step * Math.Sin(tangent)));
                }
            }
        }

        return (Refine(x, coarseRows, coarseColumns, every, half, path.PointsMm.Length),
            Refine(y, coarseRows, coarseColumns, every, half, path.PointsMm.Length));
    }

    private static Mat Refine(float[] coarse, int rows, int columns, int every, int half, int width)
    {
        using var small = new Mat(rows, columns, MatType.CV_32FC1);
        small.SetArray(coarse);
        var fine = new Mat();
        var coarseHalf = (rows - 1) / 2;
        // Fine (column, row) lies at coarse (column / every, coarseHalf + (row - half) / every).
        using var affine = new Mat(2, 3, MatType.CV_64FC1);
        affine.SetArray([1.0 / every, 0, 0, 0, 1.0 / every, coarseHalf - ((double)half / every)]);
        Cv2.WarpAffine(small, fine, affine, new Size(width, (2 * half) + 1), InterpolationFlags.Linear | InterpolationFlags.WarpInverseMap, BorderTypes.Replicate);
        return fine;
    }
}
