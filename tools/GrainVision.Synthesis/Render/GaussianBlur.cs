using System.Numerics;

namespace GrainVision.Synthesis;

/// <summary>Gaussian blur of interleaved BGR floats, both directions, in place. Managed, so that the same seed gives the same bytes.</summary>
internal static class GaussianBlur
{
    public static void Apply(float[] image, int width, int height, double sigma)
    {
        var kernel = Kernel(sigma);
        var radius = kernel.Length - 1;
        var stride = width * 3;
        Horizontal(image, stride, height, kernel, radius);
        Vertical(image, stride, height, kernel, radius);
    }

    private static float[] Kernel(double sigma)
    {
        var radius = Math.Max(1, (int)Math.Ceiling(3 * sigma));
        var kernel = new float[radius + 1];
        var sum = 0.0;
        for (var i = 0; i <= radius; i++)
        {
            // Mean over the pixel rather than a sample in its middle: right for sigmas under half a pixel too.
            kernel[i] = (float)(Phi((i + 0.5) / sigma) - Phi((i - 0.5) / sigma));
            sum += i == 0 ? kernel[i] : 2 * kernel[i];
        }

        for (var i = 0; i <= radius; i++)
            kernel[i] /= (float)sum;
        return kernel;
    }

    // Normal distribution function, Zelen and Severo 1964 (Abramowitz and Stegun 26.2.17), error under 7.5e-8.
    private static double Phi(double x)
    {
        if (x < 0)
            return 1 - Phi(-x);
        var t = 1 / (1 + (0.2316419 * x));
        var poly = t * (0.319381530 + (t * (-0.356563782 + (t * (1.781477937 + (t * (-1.821255978 + (t * 1.330274429))))))));
        return 1 - (Math.Exp(-x * x / 2) / Math.Sqrt(2 * Math.PI) * poly);
    }

    private static void Horizontal(float[] image, int stride, int height, float[] kernel, int radius)
    {
        var pad = radius * 3;
        var line = new float[stride + (2 * pad)];
        for (var y = 0; y < height; y++)
        {
            var row = image.AsSpan(y * stride, stride);
            row.CopyTo(line.AsSpan(pad));
            for (var i = 0; i < pad; i++)
            {
                line[i] = row[i % 3];
                line[pad + stride + i] = row[stride - 3 + (i % 3)];
            }

            SumAcross(row, kernel, radius, line, pad);
        }
    }

    private static void SumAcross(Span<float> to, float[] kernel, int radius, float[] line, int pad)
    {
        var n = Vector<float>.Count;
        var x = 0;
        for (; x <= to.Length - n; x += n)
        {
            var acc = new Vector<float>(line, pad + x) * kernel[0];
            for (var k = 1; k <= radius; k++)
                acc += (new Vector<float>(line, pad + x - (3 * k)) + new Vector<float>(line, pad + x + (3 * k))) * kernel[k];
            acc.CopyTo(to[x..]);
        }

        for (; x < to.Length; x++)
        {
            var acc = line[pad + x] * kernel[0];
            for (var k = 1; k <= radius; k++)
                acc += (line[pad + x - (3 * k)] + line[pad + x + (3 * k)]) * kernel[k];
            to[x] = acc;
        }
    }

    private static void Vertical(float[] image, int stride, int height, float[] kernel, int radius)
    {
        // Columns in strips that fit the cache.
        const int strip = 96;
        var column = new float[(height + (2 * radius)) * strip];
        for (var x0 = 0; x0 < stride; x0 += strip)
        {
            var w = Math.Min(strip, stride - x0);
            for (var y = -radius; y < height + radius; y++)
            {
                var from = Math.Clamp(y, 0, height - 1);
                image.AsSpan((from * stride) + x0, w).CopyTo(column.AsSpan((y + radius) * strip, w));
            }

            for (var y = 0; y < height; y++)
                SumDown(image.AsSpan((y * stride) + x0, w), kernel, radius, column, (y + radius) * strip, strip);
        }
    }

    private static void SumDown(Span<float> to, float[] kernel, int radius, float[] column, int middle, int strip)
    {
        var n = Vector<float>.Count;
        var x = 0;
        for (; x <= to.Length - n; x += n)
        {
            var acc = new Vector<float>(column, middle + x) * kernel[0];
            for (var k = 1; k <= radius; k++)
                acc += (new Vector<float>(column, middle + x - (strip * k)) + new Vector<float>(column, middle + x + (strip * k))) * kernel[k];
            acc.CopyTo(to[x..]);
        }

        for (; x < to.Length; x++)
        {
            var acc = column[middle + x] * kernel[0];
            for (var k = 1; k <= radius; k++)
                acc += (column[middle + x - (strip * k)] + column[middle + x + (strip * k)]) * kernel[k];
            to[x] = acc;
        }
    }
}
