using OpenCvSharp;

namespace GrainVision.Measuring.Orientation;

/// <summary>
/// Removes what is left of the rings' crookedness in an unrolled strip: measures the lines' residual slope by the structure tensor,
/// integrates it from the path outwards and shifts the sampling maps along.
/// </summary>
internal static class StripUnroller
{
    /// <summary>0.25: steeper residual slopes (14°) are knots, checks or stamps, not rings that the field missed.</summary>
    private const double SteepestSlope = 0.25;

    /// <param name="grey">Strip sampled with the maps.</param>
    /// <param name="inside">1 inside the section.</param>
    /// <param name="mapX">Raster x of each strip pixel; replaced by the shifted map.</param>
    /// <param name="mapY">Raster y; replaced.</param>
    /// <param name="centreRow">Row on the path: it stays where it is.</param>
    /// <param name="pitch">Columns per mm.</param>
    public static void Straighten(Mat grey, Mat inside, Mat mapX, Mat mapY, int centreRow, double pitch)
    {
        using var shift = Shift(grey, inside, centreRow, pitch);
        var (width, height) = (grey.Width, grey.Height);
        var columns = new float[width * height];
        var rows = new float[width * height];
        shift.GetArray(out float[] d);
        for (var y = 0; y < height; y++)
        {
            for (var x = 0; x < width; x++)
            {
                var i = (y * width) + x;
                columns[i] = x + d[i];
                rows[i] = y;
            }
        }

        using var atX = new Mat(height, width, MatType.CV_32FC1);
        atX.SetArray(columns);
        using var atY = new Mat(height, width, MatType.CV_32FC1);
        atY.SetArray(rows);
        foreach (var map in (Mat[])[mapX, mapY])
        {
            using var moved = new Mat();
            Cv2.Remap(map, moved, atX, atY, InterpolationFlags.Linear, BorderTypes.Replicate);
            moved.CopyTo(map);
        }
    }

    /// <summary>
    /// Means over 2 mm along the path and 1.5 mm along the ring (rows are twice as far apart as columns), on every fourth column and every second row: windows so
    /// wide lose nothing by that, and cost a thirtieth.
    /// </summary>
    private static void Widen(Mat values, double pitch)
    {
        const int columns = 4;
        const int rows = 2;
        using var coarse = new Mat();
        Cv2.Resize(values, coarse, new Size(Math.Max(1, values.Width / columns), Math.Max(1, values.Height / rows)), 0, 0, InterpolationFlags.Area);
        Cv2.GaussianBlur(coarse, coarse, new Size(0, 0), 2 * pitch / columns, 0.75 * pitch / rows, BorderTypes.Replicate);
        Cv2.Resize(coarse, values, values.Size(), 0, 0, InterpolationFlags.Linear);
    }

    private static Mat Shift(Mat grey, Mat inside, int centreRow, double pitch)
    {
        using var smooth = new Mat();
        Cv2.GaussianBlur(grey, smooth, new Size(0, 0), Math.Max(1, 0.15 * pitch), Math.Max(1, 0.25 * pitch));
        using var along = new Mat();
        using var across = new Mat();
        Cv2.Scharr(smooth, along, MatType.CV_32F, 1, 0, 1 / 32.0);
        Cv2.Scharr(smooth, across, MatType.CV_32F, 0, 1, 1 / 32.0);
        using var product = new Mat();
        using var square = new Mat();
        Cv2.Multiply(along, across, product);
        Cv2.Multiply(along, along, square);
        Cv2.Multiply(product, inside, product);
        Cv2.Multiply(square, inside, square);
        Widen(product, pitch);
        Widen(square, pitch);
        product.GetArray(out float[] xy);
        square.GetArray(out float[] xx);

        var (width, height) = (grey.Width, grey.Height);
        var floor = 1e-3f + (0.02f * xx.Average());
        var d = new float[width * height];
        foreach (var side in (int[])[-1, 1])
        {
            for (var y = centreRow + side; y >= 0 && y < height; y += side)
            {
                for (var x = 0; x < width; x++)
                {
                    var before = ((y - side) * width) + x;
                    var slope = Math.Clamp(-xy[before] / (xx[before] + floor), -SteepestSlope, SteepestSlope);
                    d[(y * width) + x] = d[before] + (float)(side * slope);
                }
            }
        }

        var shift = new Mat(height, width, MatType.CV_32FC1);
        shift.SetArray(d);
        return shift;
    }
}
