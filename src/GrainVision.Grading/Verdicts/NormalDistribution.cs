namespace GrainVision.Grading.Verdicts;

/// <summary>The standard normal distribution.</summary>
public static class NormalDistribution
{
    /// <summary>7.0711: beyond it the rational form gives way to the continued fraction.</summary>
    private const double FractionFrom = 7.07106781186547;

    /// <summary>37: beyond it the tail is below the least double that matters.</summary>
    private const double TailEnds = 37;

    /// <summary>Square root of 2 pi.</summary>
    private const double SqrtTwoPi = 2.506628274631000502;

    /// <summary>Probability that a standard normal value is at most <paramref name="x"/>. NaN gives NaN.</summary>
    /// <remarks>
    /// Rational approximation 5666 of J. F. Hart, Computer Approximations (1968), in the form of G. West, Better
    /// approximations to cumulative normal functions (Wilmott, 2005); error about 1e-15.
    /// </remarks>
    public static double Cumulative(double x)
    {
        if (double.IsNaN(x))
            return double.NaN;
        var tail = UpperTail(Math.Abs(x));
        return x > 0 ? 1 - tail : tail;
    }

    private static double UpperTail(double x)
    {
        if (x > TailEnds)
            return 0;
        var density = Math.Exp(-x * x / 2);
        if (x >= FractionFrom)
            return density / (x + (1 / (x + (2 / (x + (3 / (x + (4 / (x + 0.65))))))))) / SqrtTwoPi;
        var above = (((((((((((0.0352624965998911 * x) + 0.700383064443688) * x) + 6.37396220353165) * x) + 33.912866078383) * x)
            + 112.079291497871) * x) + 221.213596169931) * x) + 220.206867912376;
        var below = (((((((((((((0.0883883476483184 * x) + 1.75566716318264) * x) + 16.064177579207) * x) + 86.7807322029461) * x)
            + 296.564248779674) * x) + 637.333633378831) * x) + 793.826512519948) * x) + 440.413735824752;
        return density * above / below;
    }
}
