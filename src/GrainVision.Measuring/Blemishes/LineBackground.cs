using System.Runtime.Intrinsics;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// What the wood would look like without blemishes: at each pixel a quantile of the values along the growth line through
/// it. Rings and grain run on along the line and cancel; a knot, stain or hole does not.
/// </summary>
internal static class LineBackground
{
    /// <summary>3 px/mm: a 3 mm knot is 9 px wide; finer adds time, not sight.</summary>
    public const double PitchPxPerMm = 3;

    /// <summary>24 mm: how far the line is followed to either side; twice the largest knot that any limit lets pass, and more.</summary>
    private const double ReachMm = 24;

    /// <summary>17 samples, 3 mm apart: enough that half of them lie outside a 12 mm knot.</summary>
    private const int Samples = 17;

    /// <summary>8 px: side of a cell within which the line has one direction.</summary>
    private const int Cell = 8;

    /// <summary>
    /// The quantile along its line for each pixel inside the mask; elsewhere the value itself. Row by row like the input.
    /// </summary>
    /// <param name="values">One value a pixel.</param>
    /// <param name="grid">Where those pixels lie, which of them are wood, and how the lines run.</param>
    /// <param name="quantile">0 to 1: 0.5 is the median.</param>
    public static float[] Of(float[] values, LineGrid grid, double quantile)
    {
        var (width, height) = (grid.Width, grid.Height);
        var result = (float[])values.Clone();
        Span<int> dx = stackalloc int[Samples];
        Span<int> dy = stackalloc int[Samples];
        Span<float> samples = stackalloc float[Samples];
        var spacing = 2 * ReachMm / (Samples - 1) * grid.PitchPxPerMm;
        for (var cy = 0; cy < height; cy += Cell)
        {
            for (var cx = 0; cx < width; cx += Cell)
            {
                var at = grid.ToMm(cx + (Cell / 2.0), cy + (Cell / 2.0));
                var angle = grid.LineRad(at);
                var bend = grid.BendPerMm(at) / grid.PitchPxPerMm;
                var (cos, sin) = (Math.Cos(angle), Math.Sin(angle));
                for (var k = 0; k < Samples; k++)
                {
                    var t = (k - (Samples / 2)) * spacing;
                    var off = 0.5 * bend * t * t;
                    dx[k] = (int)Math.Round((t * cos) - (off * sin));
                    dy[k] = (int)Math.Round((t * sin) + (off * cos));
                }

                for (var y = cy; y < Math.Min(height, cy + Cell); y++)
                {
                    if (cx + Cell <= width && WholeRow(values, grid, dx, dy, cx, y, quantile, result))
                        continue;
                    for (var x = cx; x < Math.Min(width, cx + Cell); x++)
                    {
                        var i = (y * width) + x;
                        if (grid.Inside[i] == 0)
                            continue;
                        var n = 0;
                        for (var k = 0; k < Samples; k++)
                        {
                            var (sx, sy) = (x + dx[k], y + dy[k]);
                            if ((uint)sx >= (uint)width || (uint)sy >= (uint)height || grid.Inside[(sy * width) + sx] == 0)
                                continue;
                            // Insertion keeps so few samples in order faster than any sort.
                            var value = values[(sy * width) + sx];
                            var place = n++;
                            for (; place > 0 && samples[place - 1] > value; place--)
                                samples[place] = samples[place - 1];
                            samples[place] = value;
                        }

                        result[i] = samples[Math.Min(n - 1, (int)(quantile * n))];
                    }
                }
            }
        }

        return result;
    }

    /// <summary>
    /// The same for the eight pixels of a cell's row at once, where all of their samples lie inside the mask: the greatest sample is moved to the end, then
    /// the next, until the quantile's place is reached. False where a sample lies outside, and nothing is written.
    /// </summary>
    private static bool WholeRow(float[] values, LineGrid grid, ReadOnlySpan<int> dx, ReadOnlySpan<int> dy, int x, int y, double quantile, float[] result)
    {
        var (width, height) = (grid.Width, grid.Height);
        if (!AllInside(grid.Inside, (y * width) + x))
            return false;
        Span<Vector256<float>> samples = stackalloc Vector256<float>[Samples];
        for (var k = 0; k < Samples; k++)
        {
            var (sx, sy) = (x + dx[k], y + dy[k]);
            if (sx < 0 || sx + Cell > width || (uint)sy >= (uint)height || !AllInside(grid.Inside, (sy * width) + sx))
                return false;
            samples[k] = Vector256.Create(values.AsSpan((sy * width) + sx, Cell));
        }

        var place = Math.Min(Samples - 1, (int)(quantile * Samples));
        for (var end = Samples - 1; end >= place; end--)
        {
            for (var k = 0; k < end; k++)
                (samples[k], samples[k + 1]) = (Vector256.Min(samples[k], samples[k + 1]), Vector256.Max(samples[k], samples[k + 1]));
        }

        samples[place].CopyTo(result, (y * width) + x);
        return true;
    }

    /// <summary>True where the eight pixels from there on are all marked with 255.</summary>
    private static bool AllInside(byte[] inside, int from) => BitConverter.ToUInt64(inside, from) == ulong.MaxValue;
}

/// <summary>Pixels of a section with the growth lines that run over them.</summary>
/// <param name="Width">px.</param>
/// <param name="Height">px.</param>
/// <param name="Inside">Not 0 where there is wood.</param>
/// <param name="PitchPxPerMm">Pixels per mm.</param>
/// <param name="OriginMm">(u, v) of pixel (0, 0).</param>
/// <param name="LineRad">Direction of the growth line at a place, rad from +u towards +v.</param>
/// <param name="BendPerMm">Curvature of the line there, 1/mm (0 for a face).</param>
internal sealed record LineGrid(
    int Width, int Height, byte[] Inside, double PitchPxPerMm, Point2d OriginMm, Func<Point2d, double> LineRad, Func<Point2d, double> BendPerMm)
{
    public static LineGrid Of(RectifiedSurface raster, Func<Point2d, double> lineRad, Func<Point2d, double> bendPerMm)
    {
        raster.Mask.GetArray(out byte[] inside);
        return new LineGrid(raster.Grey.Width, raster.Grey.Height, inside, raster.PitchPxPerMm, raster.OriginMm, lineRad, bendPerMm);
    }

    public Point2d ToMm(double x, double y) => new(OriginMm.X + (x / PitchPxPerMm), OriginMm.Y + (y / PitchPxPerMm));
}
