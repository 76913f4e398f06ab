namespace GrainVision.Measuring.Numerics;

/// <summary>
/// Ring lines in a profile: steps of the sharper polarity, maxima of the derivative of a Gaussian (J. Canny, PAMI 8(6), 1986,
/// doi 10.1109/TPAMI.1986.4767851). Enough to tell how far lines stand apart; rings are counted by the ring network.
/// </summary>
internal static class LineSpacing
{
    /// <summary>0.04 mm and 0.45 samples: blur of the derivative at first; 0.06 of the median spacing after that.</summary>
    private const double FineSigmaMm = 0.04;
    private const double LeastSigmaPx = 0.45;
    private const double SigmaPerSpacing = 0.06;

    /// <summary>0.6 samples: blur at which the sharper side of the lines is told.</summary>
    private const double PolaritySigmaPx = 0.6;

    /// <summary>0.3 of the typical step near it: lower steps are chance or false rings. 0.12 mm and 2.5 samples: the narrowest ring.</summary>
    private const double LeastStep = 0.3;
    private const double LeastApartMm = 0.12;
    private const double LeastApartPx = 2.5;

    /// <summary>Where the lines are, ascending, samples.</summary>
    /// <param name="profile">Normalised.</param>
    /// <param name="pitch">Samples per mm.</param>
    public static double[] Find(double[] profile, double pitch)
    {
        var cubes = Profile.Derivative(Profile.Smooth(profile, PolaritySigmaPx)).Select(d => d * d * d).Sum();
        var polarity = cubes >= 0 ? 1 : -1;
        var apart = Math.Max(LeastApartPx, LeastApartMm * pitch);
        var lines = Pass(profile, polarity, Math.Max(LeastSigmaPx, FineSigmaMm * pitch), apart);
        if (lines.Length < 3)
            return lines;
        var spacing = RobustStatistics.Median(lines.Zip(lines.Skip(1), (a, b) => b - a));
        return Pass(profile, polarity, Math.Max(Math.Max(LeastSigmaPx, FineSigmaMm * pitch), SigmaPerSpacing * spacing), apart);
    }

    private static double[] Pass(double[] profile, int polarity, double sigma, double apart)
    {
        var slope = Profile.Derivative(Profile.Smooth(profile, sigma)).Select(d => polarity * d).ToArray();
        var tops = Enumerable.Range(1, Math.Max(0, slope.Length - 2)).Where(x => slope[x] > 0 && slope[x] > slope[x - 1] && slope[x] >= slope[x + 1]).ToList();
        var typical = Typical([.. tops.Select(x => slope[x])]);
        var kept = new List<int>();
        foreach (var x in tops.Where(x => slope[x] > LeastStep * typical).OrderByDescending(x => slope[x]))
        {
            if (kept.TrueForAll(k => Math.Abs(k - x) >= apart))
                kept.Add(x);
        }

        kept.Sort();
        return [.. kept.Select(x => Profile.Vertex(slope, x))];
    }

    /// <summary>The step that carries the figure: half of all squared steps lie above it; small steps of noise hardly move it.</summary>
    private static double Typical(double[] steps)
    {
        var (half, sum) = (steps.Sum(s => s * s) / 2, 0.0);
        foreach (var s in steps.OrderDescending())
        {
            sum += s * s;
            if (sum >= half)
                return s;
        }

        return 0;
    }
}
