using GrainVision.Measuring.Numerics;
using GrainVision.Measuring.Orientation;

namespace GrainVision.Measuring.Rings;

/// <summary>How dark and light run along the strip: which side of a boundary is the latewood, and how wide it is.</summary>
internal static class StripProfile
{
    /// <summary>3 mm to either side of the path: the rows that the band on the path has.</summary>
    private const double HalfMm = 3;

    /// <summary>8 mm: a little more than the widest ring that any rule lets pass (4.2 mm at 6 rings/in).</summary>
    private const double WindowMm = 8;

    /// <summary>2: standard errors by which the steps at the boundaries must point one way.</summary>
    private const double Clear = 2;

    /// <summary>0.1 of the profile's spread: lower mean steps are the same from both sides. Softwood stands at 0.5 to 2.</summary>
    private const double LeastStep = 0.1;

    /// <summary>Mean grey along the path, normalised; where no row is wood the last good value is carried on.</summary>
    public static double[] Along(UnrolledStrip strip)
    {
        strip.Grey.GetArray(out float[] grey);
        strip.Inside.GetArray(out float[] inside);
        var (width, height) = (strip.Grey.Width, strip.Grey.Height);
        // Rows are twice as far apart as columns.
        var half = (int)(HalfMm * strip.PitchPxPerMm / 2);
        var (from, to) = (Math.Max(0, strip.CentreRow - half), Math.Min(height, strip.CentreRow + half + 1));
        var profile = new double[width];
        var carried = double.NaN;
        for (var x = 0; x < width; x++)
        {
            var (sum, count) = (0.0, 0.0);
            for (var y = from; y < to; y++)
            {
                sum += grey[(y * width) + x] * inside[(y * width) + x];
                count += inside[(y * width) + x];
            }

            profile[x] = carried = count > 0 ? sum / count : carried;
        }

        var first = Array.FindIndex(profile, v => !double.IsNaN(v));
        if (first > 0)
            Array.Fill(profile, profile[first], 0, first);
        return first < 0 ? new double[width] : Profile.Normalise(profile, WindowMm * strip.PitchPxPerMm);
    }

    /// <summary>
    /// Which way the boundaries step: +1 dark to light along the path, -1 light to dark. Where the steps do not tell, what the rings' curvature and the species make likely.
    /// </summary>
    /// <param name="profile">Normalised.</param>
    /// <param name="at">Boundaries, in its samples.</param>
    /// <param name="expected">+1 or -1; 0 where the rings are too straight to say.</param>
    /// <returns>The polarity, and whether it is told and nothing speaks against it.</returns>
    public static (int Polarity, bool Sure) Polarity(double[] profile, double[] at, int expected)
    {
        var steps = new List<double>();
        for (var i = 0; i < at.Length; i++)
        {
            var width = Math.Min(i > 0 ? at[i] - at[i - 1] : double.MaxValue, i + 1 < at.Length ? at[i + 1] - at[i] : double.MaxValue);
            // A quarter of the narrower ring to either side: the dense latewood on one, the first earlywood on the other.
            steps.Add(Mean(profile, at[i], at[i] + (0.25 * width)) - Mean(profile, at[i] - (0.25 * width), at[i]));
        }

        var mean = steps.Average();
        var error = Math.Sqrt(steps.Sum(s => (s - mean) * (s - mean)) / Math.Max(1, steps.Count - 1) / steps.Count);
        var told = Math.Abs(mean) > Math.Max(LeastStep, Clear * error);
        var polarity = told || expected == 0 ? mean >= 0 ? 1 : -1 : expected;
        return (polarity, expected == 0 ? told : polarity == expected);
    }

    private static double Mean(double[] profile, double from, double to)
    {
        const int samples = 8;
        return Enumerable.Range(0, samples).Average(k => Profile.At(profile, from + ((k + 0.5) / samples * (to - from))));
    }
}
