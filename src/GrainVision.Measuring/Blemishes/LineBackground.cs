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
    public static LineGrid Of(SectionRaster raster, Func<Point2d, double> lineRad, Func<Point2d, double> bendPerMm)
    {
        raster.Mask.GetArray(out byte[] inside);
        return new LineGrid(raster.Grey.Width, raster.Grey.Height, inside, raster.PitchPxPerMm, raster.OriginMm, lineRad, bendPerMm);
    }

    public Point2d ToMm(double x, double y) => new(OriginMm.X + (x / PitchPxPerMm), OriginMm.Y + (y / PitchPxPerMm));
}
