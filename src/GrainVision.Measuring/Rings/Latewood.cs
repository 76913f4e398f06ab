using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Numerics;

namespace GrainVision.Measuring.Rings;

/// <summary>
/// Latewood share: in each ring the stretch next to the boundary that is darker than halfway between the ring's lightest earlywood and
/// its darkest latewood (a grey-level form of the half-way threshold commonly used on density profiles: H. Polge, 1978; common practice).
/// </summary>
internal static class Latewood
{
    /// <summary>Mean share over the rings with its 95 % interval.</summary>
    /// <param name="profile">Normalised profile.</param>
    /// <param name="atPx">Boundaries in the same samples.</param>
    /// <param name="polarity">+1: dark to light at the boundaries in sample order; -1: light to dark.</param>
    /// <param name="ringPorous">Ring-porous wood: the dense latewood is the light part, the porous earlywood the dark one.</param>
    /// <param name="blurPx">Blur of the profile, samples: widens the interval where it is large against the rings.</param>
    public static Measured Share(double[] profile, double[] atPx, int polarity, bool ringPorous, double blurPx)
    {
        // Upside down a ring-porous profile reads like a softwood's.
        if (ringPorous)
            (profile, polarity) = ([.. profile.Select(p => -p)], -polarity);
        var shares = new List<double>();
        for (var i = 0; i + 1 < atPx.Length; i++)
        {
            if (OneRing(profile, atPx[i], atPx[i + 1], polarity) is { } share)
                shares.Add(share);
        }

        if (shares.Count == 0)
            return new Measured(0.5, 0, 1);
        var mean = shares.Average();
        var spread = Math.Sqrt(shares.Sum(s => (s - mean) * (s - mean)) / Math.Max(1, shares.Count - 1));
        var meanWidth = (atPx[^1] - atPx[0]) / (atPx.Length - 1);
        // 0.05: two people reading the same ring by eye differ by about that (common practice, no source).
        var u = Math.Sqrt((spread * spread / shares.Count) + Math.Pow(0.5 * blurPx / meanWidth, 2) + (0.05 * 0.05));
        return Measured.FromStandardUncertainty(mean, u).ClampTo(0, 1);
    }

    private static double? OneRing(double[] profile, double from, double to, int polarity)
    {
        const int samples = 64;
        var values = new double[samples];
        for (var k = 0; k < samples; k++)
        {
            // Walk away from the latewood boundary.
            var t = (k + 0.5) / samples;
            values[k] = Profile.At(profile, polarity > 0 ? to - (t * (to - from)) : from + (t * (to - from)));
        }

        var (dark, light) = (values.Take(samples / 2).Min(), RobustStatistics.Quantile(values, 0.9));
        if (light - dark < 0.2)
            return null;
        var half = (dark + light) / 2;
        var darkest = Array.IndexOf(values, dark);
        var end = darkest;
        while (end < samples && values[end] < half)
            end++;
        return (double)end / samples;
    }
}
