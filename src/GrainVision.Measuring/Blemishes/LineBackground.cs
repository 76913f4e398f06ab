using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// What the wood would look like without blemishes: at each pixel the upper middle of the greys along the growth line through
/// it. Rings and grain run on along the line and cancel; a knot, check or hole does not.
/// </summary>
internal static class LineBackground
{
    /// <summary>3 px/mm: a 3 mm knot is 9 px wide; finer adds time, not sight.</summary>
    public const double PitchPxPerMm = 3;

    /// <summary>24 mm: how far the line is followed to either side; twice the largest knot that any limit lets pass, and more.</summary>
    private const double ReachMm = 24;

    /// <summary>17 samples, 3 mm apart: enough that half of them lie outside a 12 mm knot.</summary>
    private const int Samples = 17;

    /// <summary>0.6: quantile of the samples taken for clear wood; above the median, since blemishes are mostly dark.</summary>
    private const double Quantile = 0.6;

    /// <summary>
    /// Darkness of each pixel of the reduced raster against its line, grey levels, positive where darker; CV_32FC1, the caller disposes it.
    /// </summary>
    /// <param name="raster">The surface at <see cref="PitchPxPerMm"/> or less.</param>
    /// <param name="lineRad">Direction of the growth line at a place, rad from +u towards +v.</param>
    /// <param name="bendPerMm">Curvature of the line there, 1/mm (0 for a face).</param>
    public static Mat Darkness(SectionRaster raster, Func<Point2d, double> lineRad, Func<Point2d, double> bendPerMm)
    {
        var (width, height) = (raster.Grey.Width, raster.Grey.Height);
        raster.Grey.GetArray(out float[] grey);
        raster.Mask.GetArray(out byte[] mask);
        var result = new float[width * height];
        var samples = new float[Samples];
        var spacing = 2 * ReachMm / (Samples - 1) * raster.PitchPxPerMm;
        const int cell = 8;
        for (var cy = 0; cy < height; cy += cell)
        {
            for (var cx = 0; cx < width; cx += cell)
            {
                // The direction changes slowly: once per cell of 8 x 8 px.
                var at = raster.ToMm(cx + (cell / 2.0), cy + (cell / 2.0));
                var angle = lineRad(at);
                var bend = bendPerMm(at) / raster.PitchPxPerMm;
                var (cos, sin) = (Math.Cos(angle), Math.Sin(angle));
                for (var y = cy; y < Math.Min(height, cy + cell); y++)
                {
                    for (var x = cx; x < Math.Min(width, cx + cell); x++)
                    {
                        var i = (y * width) + x;
                        if (mask[i] == 0)
                            continue;
                        var n = 0;
                        for (var k = 0; k < Samples; k++)
                        {
                            var t = (k - (Samples / 2)) * spacing;
                            var off = 0.5 * bend * t * t;
                            var sx = (int)Math.Round(x + (t * cos) - (off * sin));
                            var sy = (int)Math.Round(y + (t * sin) + (off * cos));
                            if (sx >= 0 && sy >= 0 && sx < width && sy < height && mask[(sy * width) + sx] != 0)
                                samples[n++] = grey[(sy * width) + sx];
                        }

                        Array.Sort(samples, 0, n);
                        result[i] = samples[Math.Min(n - 1, (int)(Quantile * n))] - grey[i];
                    }
                }
            }
        }

        var darkness = new Mat(height, width, MatType.CV_32FC1);
        darkness.SetArray(result);
        return darkness;
    }
}
