using System.Numerics;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Orientation;

/// <summary>One cell of an orientation field.</summary>
/// <param name="AtMm">Middle of the cell, mm.</param>
/// <param name="NormalRad">Direction of the strongest grey-level change (across the lines), rad modulo pi, from +u towards +v.</param>
/// <param name="Coherence">0 (no direction) to 1 (one direction only).</param>
/// <param name="Weight">How much the cell counts: coherence squared times energy, capped so that one dark knot cannot rule the field.</param>
internal readonly record struct OrientationCell(Point2d AtMm, double NormalRad, double Coherence, double Weight);

/// <summary>
/// Local line direction from the structure tensor.
/// </summary>
/// <remarks>
/// J. Bigun and G. H. Granlund, "Optimal orientation detection of linear symmetry", ICCV 1987; the averaging of
/// tensors over a window is theirs, the cap on the energy is ours. Gradients within three sigma of the
/// section's edge are left out: the saw's edge is no ring.
/// </remarks>
internal static class OrientationCells
{
    /// <summary>2 px: a Gaussian this wide is sampled well enough.</summary>
    private const double CoarseSigmaPx = 2;

    /// <summary>Computes the field.</summary>
    /// <param name="raster">The section.</param>
    /// <param name="gradientSigmaMm">Scale of the gradient; lines much finer than this vanish. At least 0.8 raster pixels.</param>
    /// <param name="cellMm">Side of a cell.</param>
    /// <param name="windowSigmaMm">Gaussian window over which tensors are averaged.</param>
    public static OrientationCell[] Compute(RectifiedSurface raster, double gradientSigmaMm, double cellMm, double windowSigmaMm)
    {
        // A coarse scale needs no fine pixels: averaged down until the blur is two pixels wide, which is a quarter of the work and less.
        var shrink = Math.Max(1, (int)(gradientSigmaMm * raster.PitchPxPerMm / CoarseSigmaPx));
        var size = new Size(Math.Max(2, raster.Grey.Width / shrink), Math.Max(2, raster.Grey.Height / shrink));
        using var smallGrey = new Mat();
        using var smallMask = new Mat();
        var asItIs = size == raster.Grey.Size();
        if (!asItIs)
        {
            Cv2.Resize(raster.Grey, smallGrey, size, 0, 0, InterpolationFlags.Area);
            Cv2.Resize(raster.Mask, smallMask, size, 0, 0, InterpolationFlags.Nearest);
        }

        var (grey, mask) = asItIs ? (raster.Grey, raster.Mask) : (smallGrey, smallMask);
        var pitch = raster.PitchPxPerMm * size.Width / raster.Grey.Width;
        var sigmaPx = Math.Max(0.8, gradientSigmaMm * pitch);
        using var smooth = new Mat();
        Cv2.GaussianBlur(grey, smooth, new Size(0, 0), sigmaPx);
        using var gx = new Mat();
        using var gy = new Mat();
        Cv2.Scharr(smooth, gx, MatType.CV_32F, 1, 0, 1 / 32.0);
        Cv2.Scharr(smooth, gy, MatType.CV_32F, 0, 1, 1 / 32.0);

        using var inside = InsideWeights(mask, (int)Math.Ceiling((3 * sigmaPx) + 1));
        var (xx, xy, yy) = (gx, smooth, gy);
        ToTensor(gx, gy, inside, smooth);

        var columns = Math.Max(1, (int)Math.Round(raster.Grey.Width / (cellMm * pitch)));
        var rows = Math.Max(1, (int)Math.Round(raster.Grey.Height / (cellMm * pitch)));
        var windowCells = windowSigmaMm / cellMm;
        var cxx = ToCells(xx, columns, rows, windowCells);
        var cxy = ToCells(xy, columns, rows, windowCells);
        var cyy = ToCells(yy, columns, rows, windowCells);
        var cin = ToCells(inside, columns, rows, 0);
        return Assemble(raster, columns, rows, cxx, cxy, cyy, cin);
    }

    private static OrientationCell[] Assemble(RectifiedSurface raster, int columns, int rows, float[] cxx, float[] cxy, float[] cyy, float[] cin)
    {
        var (stepX, stepY) = ((double)raster.Grey.Width / columns, (double)raster.Grey.Height / rows);
        var cells = new List<OrientationCell>(columns * rows);
        var energies = new List<double>(columns * rows);
        for (var y = 0; y < rows; y++)
        {
            for (var x = 0; x < columns; x++)
            {
                var i = (y * columns) + x;
                if (cin[i] < 0.5)
                    continue;
                var energy = (cxx[i] + cyy[i]) / cin[i];
                if (energy <= 1e-6)
                    continue;
                var difference = (double)cxx[i] - cyy[i];
                var twice = 2.0 * cxy[i];
                var coherence = Math.Sqrt((difference * difference) + (twice * twice)) / (cxx[i] + cyy[i]);
                var normal = 0.5 * Math.Atan2(twice, difference);
                cells.Add(new OrientationCell(raster.ToMm(((x + 0.5) * stepX) - 0.5, ((y + 0.5) * stepY) - 0.5), normal, coherence, 0));
                energies.Add(energy);
            }
        }

        if (cells.Count == 0)
            return [];
        var sorted = energies.Order().ToArray();
        var cap = sorted[(int)(0.75 * (sorted.Length - 1))];
        return [.. cells.Select((c, i) => c with { Weight = c.Coherence * c.Coherence * Math.Min(1, energies[i] / cap) })];
    }

    private static Mat InsideWeights(Mat mask, int erodePx)
    {
        // A square's half-width is a chessboard distance; what lies beyond the raster counts as outside.
        using var square = Cv2.GetStructuringElement(MorphShapes.Rect, new Size((2 * erodePx) + 1, (2 * erodePx) + 1));
        using var inner = new Mat();
        Cv2.Erode(mask, inner, square, borderType: BorderTypes.Constant, borderValue: Scalar.All(0));
        var weights = new Mat();
        inner.ConvertTo(weights, MatType.CV_32FC1, 1 / 255.0);
        return weights;
    }

    /// <summary>
    /// The gradients' products times the weights, in the buffers that are there: <paramref name="gx"/> becomes xx, <paramref name="gy"/> yy. One pass over
    /// memory that is in use already; a matrix for each product costs more in fresh pages than in sums.
    /// </summary>
    private static unsafe void ToTensor(Mat gx, Mat gy, Mat inside, Mat xy)
    {
        var (width, height) = (gx.Width, gx.Height);
        for (var y = 0; y < height; y++)
        {
            var rowX = new Span<float>((void*)gx.Ptr(y), width);
            var rowY = new Span<float>((void*)gy.Ptr(y), width);
            var rowIn = new Span<float>((void*)inside.Ptr(y), width);
            var rowXy = new Span<float>((void*)xy.Ptr(y), width);
            var x = 0;
            for (; x + Vector<float>.Count <= width; x += Vector<float>.Count)
            {
                var (a, b, w) = (new Vector<float>(rowX[x..]), new Vector<float>(rowY[x..]), new Vector<float>(rowIn[x..]));
                (a * b * w).CopyTo(rowXy[x..]);
                (a * a * w).CopyTo(rowX[x..]);
                (b * b * w).CopyTo(rowY[x..]);
            }

            for (; x < width; x++)
            {
                var (a, b, w) = (rowX[x], rowY[x], rowIn[x]);
                (rowXy[x], rowX[x], rowY[x]) = (a * b * w, a * a * w, b * b * w);
            }
        }
    }

    private static float[] ToCells(Mat source, int columns, int rows, double windowCells)
    {
        using var cells = new Mat();
        Cv2.Resize(source, cells, new Size(columns, rows), 0, 0, InterpolationFlags.Area);
        if (windowCells > 0.3)
            Cv2.GaussianBlur(cells, cells, new Size(0, 0), windowCells);
        cells.GetArray(out float[] values);
        return values;
    }
}
