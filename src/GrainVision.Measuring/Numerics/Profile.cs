using System.Numerics;

namespace GrainVision.Measuring.Numerics;

/// <summary>Smoothing and differentiation of evenly sampled one-dimensional signals; ends are mirrored.</summary>
internal static class Profile
{
    /// <summary>Gaussian smoothing; a sigma under 0.3 samples copies.</summary>
    public static double[] Smooth(double[] signal, double sigma)
    {
        if (sigma < 0.3)
            return [.. signal];
        var half = (int)Math.Ceiling(3.5 * sigma);
        var kernel = new double[half + 1];
        var sum = 0.0;
        for (var i = 0; i <= half; i++)
        {
            kernel[i] = Math.Exp(-i * i / (2 * sigma * sigma));
            sum += i == 0 ? kernel[i] : 2 * kernel[i];
        }

        // Mirrored once at both ends, so that the loop over the kernel needs no look at them; several samples go side by side, each summed in the order of the kernel.
        var wide = new double[signal.Length + (2 * half)];
        signal.CopyTo(wide, half);
        for (var i = 0; i < half; i++)
        {
            wide[i] = signal[Mirror(i - half, signal.Length)];
            wide[half + signal.Length + i] = signal[Mirror(signal.Length + i, signal.Length)];
        }

        var result = new double[signal.Length];
        var (at, width) = (0, Vector<double>.Count);
        for (; at + (2 * width) <= signal.Length; at += 2 * width)
        {
            var (left, right) = (kernel[0] * new Vector<double>(signal, at), kernel[0] * new Vector<double>(signal, at + width));
            for (var i = 1; i <= half; i++)
            {
                var (below, above) = (at + half - i, at + half + i);
                left += kernel[i] * (new Vector<double>(wide, below) + new Vector<double>(wide, above));
                right += kernel[i] * (new Vector<double>(wide, below + width) + new Vector<double>(wide, above + width));
            }

            (left / new Vector<double>(sum)).CopyTo(result, at);
            (right / new Vector<double>(sum)).CopyTo(result, at + width);
        }

        for (; at < signal.Length; at++)
        {
            var value = kernel[0] * signal[at];
            for (var i = 1; i <= half; i++)
                value += kernel[i] * (wide[at + half - i] + wide[at + half + i]);
            result[at] = value / sum;
        }

        return result;
    }

    /// <summary>Central difference per sample.</summary>
    public static double[] Derivative(double[] signal)
    {
        var result = new double[signal.Length];
        for (var x = 0; x < signal.Length; x++)
            result[x] = (signal[Math.Min(x + 1, signal.Length - 1)] - signal[Math.Max(x - 1, 0)]) / 2;
        return result;
    }

    /// <summary>Takes out slow changes of light and colour: subtracts the local mean and divides by the local spread over a Gaussian window.</summary>
    /// <param name="signal">Grey levels.</param>
    /// <param name="window">Sigma of the window, samples.</param>
    public static double[] Normalise(double[] signal, double window)
    {
        var mean = Smooth(signal, window);
        var residual = signal.Select((p, i) => p - mean[i]).ToArray();
        var variance = Smooth([.. residual.Select(r => r * r)], window);
        // 0.5 grey levels: below that there is no figure, only sensor noise, and it must not be blown up.
        return [.. residual.Select((r, i) => r / Math.Sqrt(variance[i] + 0.25))];
    }

    /// <summary>Position of a local extremum by the parabola through three samples; within half a sample of <paramref name="at"/>.</summary>
    public static double Vertex(double[] signal, int at)
    {
        if (at <= 0 || at >= signal.Length - 1)
            return at;
        var curve = signal[at - 1] - (2 * signal[at]) + signal[at + 1];
        return Math.Abs(curve) < 1e-12 ? at : at + Math.Clamp((signal[at - 1] - signal[at + 1]) / (2 * curve), -0.5, 0.5);
    }

    /// <summary>Linear interpolation, clamped to the ends.</summary>
    public static double At(double[] signal, double x)
    {
        x = Math.Clamp(x, 0, signal.Length - 1);
        var i = Math.Min((int)x, signal.Length - 2);
        return i < 0 ? signal[0] : signal[i] + ((x - i) * (signal[i + 1] - signal[i]));
    }

    private static int Mirror(int i, int length)
    {
        if (length == 1)
            return 0;
        var period = 2 * (length - 1);
        i = ((i % period) + period) % period;
        return i < length ? i : period - i;
    }
}
