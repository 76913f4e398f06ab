namespace GrainVision.Measuring.Scale.Rule;

/// <summary>
/// Where each graduation lies along the row, as seen in perspective: u = (a + b k) / (1 + c k) of its number k, fitted robustly.
/// </summary>
/// <remarks>A straight line seen by a pinhole camera keeps cross ratios, so three numbers describe any equal division of it.
/// Gauss-Newton with Huber weights; P. J. Huber 1964, doi:10.1214/aoms/1177703732.</remarks>
internal sealed class SpacingFit
{
    private readonly double a;
    private readonly double b;
    private readonly double c;
    private readonly double mid;
    private readonly double[,] inverse;

    private SpacingFit(double a, double b, double c, double mid, double[,] inverse, double residual, int outliers)
    {
        this.a = a;
        this.b = b;
        this.c = c;
        this.mid = mid;
        this.inverse = inverse;
        Residual = residual;
        Outliers = outliers;
    }

    /// <summary>Robust standard deviation of one graduation about the fit, strip px.</summary>
    public double Residual { get; }

    /// <summary>Graduations more than four of these away.</summary>
    public int Outliers { get; }

    public static SpacingFit? Fit(IReadOnlyList<Tick> ticks)
    {
        if (ticks.Count < 6)
            return null;

        // Numbers about the middle and of order 1: well conditioned.
        var mid = 0.5 * (ticks[0].Index + ticks[^1].Index);
        double a = 0, b = 0, c = 0;
        double[] weights = Enumerable.Repeat(1.0, ticks.Count).ToArray();
        double[,]? inverse = null;
        var residual = 0.0;
        for (var round = 0; round < 10; round++)
        {
            var normal = new double[3, 3];
            var right = new double[3];
            for (var i = 0; i < ticks.Count; i++)
            {
                var k = ticks[i].Index - mid;
                var w = 1 + (c * k);
                var u = (a + (b * k)) / w;
                Span<double> row = [1 / w, k / w, round == 0 ? 0 : -u * k / w];
                for (var p = 0; p < 3; p++)
                {
                    right[p] += weights[i] * row[p] * (ticks[i].U - u);
                    for (var q = 0; q < 3; q++)
                        normal[p, q] += weights[i] * row[p] * row[q];
                }
            }

            // The first round is a straight line: without a and b the perspective term means nothing.
            if (round == 0)
                normal[2, 2] = 1;
            inverse = SymmetricSolve.Invert(normal);
            if (inverse is null)
                return null;
            a += (inverse[0, 0] * right[0]) + (inverse[0, 1] * right[1]) + (inverse[0, 2] * right[2]);
            b += (inverse[1, 0] * right[0]) + (inverse[1, 1] * right[1]) + (inverse[1, 2] * right[2]);
            c += (inverse[2, 0] * right[0]) + (inverse[2, 1] * right[1]) + (inverse[2, 2] * right[2]);
            residual = Weigh(ticks, a, b, c, mid, weights);
        }

        var reach = 0.5 * (ticks[^1].Index - ticks[0].Index);
        if (!(Math.Abs(c) * (reach + 1) < 0.6) || !(b - (a * c) > 0))
            return null;
        var outliers = ticks.Count(t => Math.Abs(t.U - ((a + (b * (t.Index - mid))) / (1 + (c * (t.Index - mid))))) > 4 * Math.Max(residual, 0.02 * b));
        return new SpacingFit(a, b, c, mid, inverse!, residual, outliers);
    }

    public double At(double index) => (a + (b * (index - mid))) / (1 + (c * (index - mid)));

    public double IndexAt(double u) => ((u - a) / (b - (c * u))) + mid;

    /// <summary>Strip px per graduation at a number.</summary>
    public double SpacingAt(double index)
    {
        var w = 1 + (c * (index - mid));
        return (b - (a * c)) / (w * w);
    }

    /// <summary>Relative change of the spacing per graduation at a number: 0 with the camera square to the rule.</summary>
    public double GradientAt(double index) => -2 * c / (1 + (c * (index - mid)));

    /// <summary>Relative standard uncertainty of the spacing at a number, for a standard uncertainty of each graduation's place.</summary>
    public double RelativeUncertaintyAt(double index, double sigmaPx)
    {
        var k = index - mid;
        var w = 1 + (c * k);
        var s = b - (a * c);

        // d ln(spacing) / d(a, b, c)
        Span<double> g = [-c / s, 1 / s, (-a / s) - (2 * k / w)];
        var variance = 0.0;
        for (var i = 0; i < 3; i++)
        {
            for (var j = 0; j < 3; j++)
                variance += g[i] * inverse[i, j] * g[j];
        }

        return Math.Sqrt(Math.Max(0, variance)) * sigmaPx;
    }

    private static double Weigh(IReadOnlyList<Tick> ticks, double a, double b, double c, double mid, double[] weights)
    {
        var errors = new double[ticks.Count];
        for (var i = 0; i < errors.Length; i++)
        {
            var k = ticks[i].Index - mid;
            errors[i] = Math.Abs(ticks[i].U - ((a + (b * k)) / (1 + (c * k))));
        }

        var sorted = (double[])errors.Clone();
        Array.Sort(sorted);

        // 1.4826: from the median distance to the standard deviation of a normal distribution.
        var sigma = Math.Max(1.4826 * sorted[sorted.Length / 2], 1e-6);
        for (var i = 0; i < errors.Length; i++)
            weights[i] = errors[i] <= 1.5 * sigma ? 1 : 1.5 * sigma / errors[i];
        return sigma;
    }
}
