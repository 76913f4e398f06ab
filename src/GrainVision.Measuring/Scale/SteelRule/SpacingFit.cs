using GrainVision.Measuring.Numerics;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// Where each graduation lies along the row, as seen in perspective through a lens that is nearly ideal: p = (a + b k) / (1 + c k) of
/// its number k, moved along by the lens's distortion k1 (<see cref="LineDistortion"/>), fitted robustly.
/// </summary>
/// <remarks>
/// A straight line seen by a pinhole camera keeps cross ratios, so three numbers describe any equal division of it.
/// Gauss-Newton with Huber weights; P. J. Huber 1964, doi:10.1214/aoms/1177703732. A short row cannot show k1: there it is held near
/// zero by what lenses are like.
/// </remarks>
internal sealed class SpacingFit
{
    /// <summary>1.5 %: standard deviation of k1 among main cameras of phones, our judgement.</summary>
    private const double UsualK1 = 0.015;

    /// <summary>6 % is a wide-angle attachment or no rule.</summary>
    private const double GreatestK1 = 0.06;

    /// <summary>0.05 strip px: no graduation is located better, however small the scatter; blur and shading move neighbours together.</summary>
    private const double LeastSigmaPx = 0.05;

    private const int Rounds = 14;

    private readonly double _a;
    private readonly double _b;
    private readonly double _c;
    private readonly double _mid;
    private readonly double[,] _inverse;

    private SpacingFit(ReadOnlySpan<double> p, double mid, LineDistortion lens, double[,] inverse, double residual, int outliers)
    {
        (_a, _b, _c, K1) = (p[0], p[1], p[2], p[3]);
        _mid = mid;
        _inverse = inverse;
        Lens = lens;
        Residual = residual;
        Outliers = outliers;
    }

    /// <summary>Radial distortion at the picture's corner, as a share.</summary>
    public double K1 { get; }

    public LineDistortion Lens { get; }

    /// <summary>Robust standard deviation of one graduation about the fit, strip px.</summary>
    public double Residual { get; }

    /// <summary>Standard uncertainty of the place of one graduation, strip px.</summary>
    public double SigmaPx => Math.Max(Residual, LeastSigmaPx);

    /// <summary>Graduations more than four of these away.</summary>
    public int Outliers { get; }

    public static SpacingFit? Fit(IReadOnlyList<Tick> ticks, LineDistortion lens)
    {
        if (ticks.Count < 6)
            return null;

        // Numbers about the middle and of order 1: well conditioned.
        var mid = 0.5 * (ticks[0].Index + ticks[^1].Index);
        Span<double> p = stackalloc double[4];
        p.Clear();
        double[] weights = Enumerable.Repeat(1.0, ticks.Count).ToArray();
        double[,]? inverse = null;
        var residual = 0.0;
        for (var round = 0; round < Rounds; round++)
        {
            inverse = Improve(ticks, lens, mid, p, weights, round == 0 ? null : Math.Max(residual, LeastSigmaPx));
            if (inverse is null)
                return null;
            residual = Weigh(ticks, lens, mid, p, weights);
        }

        var reach = 0.5 * (ticks[^1].Index - ticks[0].Index);
        if (!(Math.Abs(p[2]) * (reach + 1) < 0.6) || !(p[1] - (p[0] * p[2]) > 0) || !(Math.Abs(p[3]) <= GreatestK1))
            return null;
        var most = 4 * Math.Max(residual, 0.02 * p[1]);
        var outliers = 0;
        foreach (var t in ticks)
            outliers += Math.Abs(t.U - Place(p, lens, t.Index - mid)) > most ? 1 : 0;
        return new SpacingFit(p, mid, lens, inverse!, residual, outliers);
    }

    /// <summary>The four numbers of the fit each moved by one standard uncertainty along the principal axes of their covariance: together they span it.</summary>
    public IEnumerable<SpacingFit> OneSigmaAway()
    {
        var covariance = MathNet.Numerics.LinearAlgebra.Matrix<double>.Build.DenseOfArray(_inverse);
        var factor = (0.5 * (covariance + covariance.Transpose())).Evd(MathNet.Numerics.LinearAlgebra.Symmetricity.Symmetric);
        for (var i = 0; i < 4; i++)
        {
            var size = SigmaPx * Math.Sqrt(Math.Max(0, factor.EigenValues[i].Real));
            var move = factor.EigenVectors.Column(i) * size;
            yield return new SpacingFit([_a + move[0], _b + move[1], _c + move[2], K1 + move[3]], _mid, Lens, _inverse, Residual, Outliers);
        }
    }

    /// <summary>Strip px of a graduation in the picture.</summary>
    public double At(double index) => Place([_a, _b, _c, K1], Lens, index - _mid);

    /// <summary>Number at a place in the picture, with its fraction.</summary>
    public double IndexAt(double u)
    {
        var ideal = Ideal(u);
        return ((ideal - _a) / (_b - (_c * ideal))) + _mid;
    }

    /// <summary>Strip px per graduation at a number, in the picture.</summary>
    public double SpacingAt(double index)
    {
        var k = index - _mid;
        return IdealSpacingAt(index) * (1 + (K1 * Lens.ShiftSlope((_a + (_b * k)) / (1 + (_c * k)))));
    }

    /// <summary>The same as the lens would show it at the picture's middle, where it distorts nothing.</summary>
    public double IdealSpacingAt(double index)
    {
        var w = 1 + (_c * (index - _mid));
        return (_b - (_a * _c)) / (w * w);
    }

    /// <summary>Standard uncertainty of <see cref="K1"/>.</summary>
    public double K1Sigma => Math.Sqrt(Math.Max(0, _inverse[3, 3])) * SigmaPx;

    /// <summary>The ideal row counted from a number: the place there, and what a graduation adds above and below the fraction bar.</summary>
    public (double Point, double Step, double Depth) Projective(double from)
    {
        var k = from - _mid;
        var w = 1 + (_c * k);
        return ((_a + (_b * k)) / w, _b / w, _c / w);
    }

    /// <summary>How far the row bows across itself at u, strip px towards greater v.</summary>
    public double BowAt(double u) => K1 * Lens.Bow(u);

    /// <summary>Where an ideal lens would show what the picture shows at u.</summary>
    public double Ideal(double u)
    {
        var ideal = u;
        for (var round = 0; round < 3; round++)
            ideal = u - (K1 * Lens.Shift(ideal));
        return ideal;
    }

    private static double Place(ReadOnlySpan<double> p, LineDistortion lens, double k)
    {
        var ideal = (p[0] + (p[1] * k)) / (1 + (p[2] * k));
        return ideal + (p[3] * lens.Shift(ideal));
    }

    /// <summary>
    /// One Gauss-Newton step; returns the inverse normal matrix, null where it is singular. No prior sigma makes it a straight
    /// line, for the first round: without a and b perspective and distortion mean nothing.
    /// </summary>
    private static double[,]? Improve(
        IReadOnlyList<Tick> ticks, LineDistortion lens, double mid, Span<double> p, double[] weights, double? priorSigmaPx)
    {
        var equations = new NormalEquations(4);
        for (var i = 0; i < ticks.Count; i++)
        {
            var k = ticks[i].Index - mid;
            var w = 1 + (p[2] * k);
            var ideal = (p[0] + (p[1] * k)) / w;
            var moved = priorSigmaPx is null ? 0 : 1.0;
            var gain = 1 + (p[3] * lens.ShiftSlope(ideal));
            Span<double> row = [gain / w, gain * k / w, -moved * gain * ideal * k / w, moved * lens.Shift(ideal)];
            var miss = ticks[i].U - ideal - (p[3] * lens.Shift(ideal));
            equations.Add(row, miss, weights[i]);
        }

        if (priorSigmaPx is { } sigma)
        {
            // p[3] itself is held near zero, so its step is held near what takes it there.
            equations.AddPrior(3, -p[3], sigma * sigma / (UsualK1 * UsualK1));
        }
        else
        {
            equations.AddPrior(2, 0, 1);
            equations.AddPrior(3, 0, 1);
        }

        if (equations.SolveWithInverse() is not { } step)
            return null;
        for (var r = 0; r < 4; r++)
            p[r] += step.Solution[r];
        return step.Inverse;
    }

    private static double Weigh(IReadOnlyList<Tick> ticks, LineDistortion lens, double mid, ReadOnlySpan<double> p, double[] weights)
    {
        var errors = new double[ticks.Count];
        for (var i = 0; i < errors.Length; i++)
            errors[i] = Math.Abs(ticks[i].U - Place(p, lens, ticks[i].Index - mid));
        var sigma = Math.Max(RobustStatistics.Deviation(errors), 1e-6);
        for (var i = 0; i < errors.Length; i++)
            weights[i] = RobustStatistics.HuberWeight(errors[i], 1.5 * sigma);
        return sigma;
    }
}
