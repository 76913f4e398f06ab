using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Rings;

/// <summary>A straightened strip of softwood drawn by formula, 14 columns a mm: pale earlywood that darkens to the end of each ring, with a little noise.</summary>
internal static class DrawnStrip
{
    public static Mat Rings(int columns, int rows, double ringColumns)
    {
        var noise = new Random(3);
        var pixels = new Vec3b[rows * columns];
        for (var y = 0; y < rows; y++)
        {
            for (var x = 0; x < columns; x++)
            {
                var phase = x / ringColumns % 1;
                var tone = 215 - (90 * phase * phase * phase) + noise.Next(-6, 7);
                pixels[(y * columns) + x] = new Vec3b((byte)(tone * 0.65), (byte)(tone * 0.85), (byte)tone);
            }
        }

        var strip = new Mat(rows, columns, MatType.CV_8UC3);
        strip.SetArray(pixels);
        return strip;
    }
}
