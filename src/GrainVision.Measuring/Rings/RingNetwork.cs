using GrainVision.Measuring.Networks;
using OpenCvSharp;

namespace GrainVision.Measuring.Rings;

/// <summary>What the network says of each column of a strip.</summary>
/// <param name="Boundary">Chance that a ring boundary, the end of the latewood, lies there, 0 to 1.</param>
/// <param name="Unreadable">Chance that the column cannot be read (check, shake, knot, stamp, pencil, no wood), 0 to 1.</param>
internal sealed record ColumnReading(float[] Boundary, float[] Unreadable);

/// <summary>The ring network of models/rings and how a strip is put to it.</summary>
internal static class RingNetwork
{
    /// <summary>14 columns a mm and 42 rows 1/7 mm apart: what the network was trained on.</summary>
    public const double ColumnsPerMm = 14;
    public const int Rows = 42;

    /// <summary>141 and 281 columns: windows of the running mean and contrast (model card).</summary>
    private const int MeanWindow = 141;
    private const int ContrastWindow = 281;

    /// <summary>9: square of 3 grey levels, below which there is no figure, only noise (model card).</summary>
    private const float LeastVariance = 9;

    private static readonly Lazy<OnnxNetwork> Loaded = new(() => OnnxNetwork.LoadEmbedded("Rings"));

    /// <summary>The network in this program by the start of its hash.</summary>
    public static string EmbeddedIdentity => OnnxNetwork.IdentityOf("Rings");

    /// <summary>Reads a band.</summary>
    /// <param name="band">CV_8UC3, blue-green-red, <see cref="Rows"/> rows.</param>
    public static ColumnReading Read(Mat band)
    {
        using var rgb = new Mat();
        Cv2.CvtColor(band, rgb, ColorConversionCodes.BGR2RGB);
        rgb.GetArray(out Vec3b[] pixels);
        var n = rgb.Width;
        var output = Loaded.Value.Run(Normalise(pixels, n), 1, 3, Rows, n);
        return new ColumnReading(output.Values[..n], output.Values[n..(2 * n)]);
    }

    /// <summary>
    /// Takes off each channel's mean over a window of columns and divides by the contrast over a longer one (windows cut off at the strip's ends), so that
    /// lighting along the strip does not matter.
    /// </summary>
    /// <param name="pixels">Red-green-blue, row-major, <see cref="Rows"/> rows.</param>
    /// <param name="n">Columns.</param>
    /// <returns>Channel, row, column.</returns>
    internal static float[] Normalise(Vec3b[] pixels, int n)
    {
        var values = new float[3 * Rows * n];
        var columnMean = new double[n];
        var contrast = new double[n];
        for (var c = 0; c < 3; c++)
        {
            Array.Clear(columnMean);
            for (var y = 0; y < Rows; y++)
            {
                for (var x = 0; x < n; x++)
                {
                    var v = pixels[(y * n) + x][c];
                    values[(((c * Rows) + y) * n) + x] = v;
                    columnMean[x] += v / (double)Rows;
                }
            }

            var mean = RunningMean(columnMean, MeanWindow);
            for (var y = 0; y < Rows; y++)
            {
                var row = ((c * Rows) + y) * n;
                for (var x = 0; x < n; x++)
                {
                    var d = values[row + x] -= (float)mean[x];
                    contrast[x] += d * d / (3.0 * Rows);
                }
            }
        }

        var scale = RunningMean(contrast, ContrastWindow).Select(v => (float)(1 / Math.Sqrt(v + LeastVariance))).ToArray();
        for (var row = 0; row < values.Length; row += n)
        {
            for (var x = 0; x < n; x++)
                values[row + x] *= scale[x];
        }

        return values;
    }

    /// <summary>Mean over an odd window, cut off at the ends.</summary>
    internal static double[] RunningMean(double[] values, int window)
    {
        var sum = new double[values.Length + 1];
        for (var i = 0; i < values.Length; i++)
            sum[i + 1] = sum[i] + values[i];
        var result = new double[values.Length];
        for (var i = 0; i < values.Length; i++)
        {
            var (from, to) = (Math.Max(0, i - (window / 2)), Math.Min(values.Length, i + (window / 2) + 1));
            result[i] = (sum[to] - sum[from]) / (to - from);
        }

        return result;
    }
}
