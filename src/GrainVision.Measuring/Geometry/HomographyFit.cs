using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Numerics;

namespace GrainVision.Measuring.Geometry;

/// <summary>
/// Least-squares homography from matched points, with what the points' scatter says of any number computed from it.
/// </summary>
/// <remarks>
/// Linear start (normalised direct linear transform with the last element 1), then Gauss-Newton on the target distances
/// with Huber weights. Hartley and Zisserman, 2nd ed. 2004, section 4.4 to 4.5; P. J. Huber 1964, doi:10.1214/aoms/1177703732.
/// </remarks>
internal sealed class HomographyFit
{
    private readonly Homography _sourceNorm;
    private readonly Homography _targetBack;
    private readonly double[] _p;
    private readonly double[,] _inverseNormal;

    private HomographyFit(Homography sourceNorm, Homography targetBack, double[] p, double[,] inverseNormal, double residual, double targetScale)
    {
        _sourceNorm = sourceNorm;
        _targetBack = targetBack;
        _p = p;
        _inverseNormal = inverseNormal;
        Residual = residual / targetScale;
        Map = Build(p);
    }

    /// <summary>Source to target.</summary>
    public Homography Map { get; }

    /// <summary>Standard deviation of one target coordinate about the fit (weighted, degrees of freedom counted), target units; 0 for four points.</summary>
    public double Residual { get; }

    /// <summary>
    /// Fits; null where the points do not fix a homography (fewer than 4, or on a line).
    /// </summary>
    /// <param name="source">Points of the known plane.</param>
    /// <param name="target">The same points where they were seen.</param>
    public static HomographyFit? Fit(IReadOnlyList<PointPx> source, IReadOnlyList<PointPx> target)
    {
        if (source.Count < 4)
            return null;
        var ns = Homography.Normaliser(source);
        var nt = Homography.Normaliser(target);
        var s = source.Select(ns.Map).ToArray();
        var t = target.Select(nt.Map).ToArray();
        if (Linear(s, t) is not { } p)
            return null;

        var weights = new double[s.Length];
        double[,]? inverse = null;
        var sigma = 0.0;
        for (var round = 0; round < 8; round++)
        {
            sigma = Weigh(s, t, p, weights);
            if (Equations(s, t, p, weights).SolveWithInverse() is not { } step)
                return null;
            inverse = step.Inverse;
            for (var i = 0; i < 8; i++)
                p[i] += step.Solution[i];
        }

        return new HomographyFit(ns, nt.Inverse(), p, inverse!, sigma, nt.RowMajor[0]);
    }

    /// <summary>Standard uncertainty of a number computed from the map, for a given standard uncertainty of each target coordinate.</summary>
    public double StandardUncertaintyOf(Func<Homography, double> number, double targetSigma)
    {
        // Central differences: the parameters are of order 1, 1e-6 is far above rounding and far below any curvature.
        const double step = 1e-6;
        var g = new double[8];
        for (var i = 0; i < 8; i++)
        {
            var q = (double[])_p.Clone();
            q[i] += step;
            var up = number(Build(q));
            q[i] -= 2 * step;
            g[i] = (up - number(Build(q))) / (2 * step);
        }

        var variance = 0.0;
        for (var i = 0; i < 8; i++)
        {
            for (var j = 0; j < 8; j++)
                variance += g[i] * _inverseNormal[i, j] * g[j];
        }

        return Math.Sqrt(Math.Max(0, variance)) * targetSigma / _targetBack.RowMajor[0];
    }

    private Homography Build(double[] q) =>
        _targetBack.After(new Homography([q[0], q[1], q[2], q[3], q[4], q[5], q[6], q[7], 1])).After(_sourceNorm);

    private static double[]? Linear(PointPx[] s, PointPx[] t)
    {
        var equations = new NormalEquations(8);
        Span<double> a = stackalloc double[8];
        for (var i = 0; i < s.Length; i++)
        {
            for (var c = 0; c < 2; c++)
            {
                var v = c == 0 ? t[i].X : t[i].Y;
                a.Clear();
                a[3 * c] = s[i].X;
                a[(3 * c) + 1] = s[i].Y;
                a[(3 * c) + 2] = 1;
                a[6] = -v * s[i].X;
                a[7] = -v * s[i].Y;
                equations.Add(a, v, 1);
            }
        }

        return equations.Solve();
    }

    private static NormalEquations Equations(PointPx[] s, PointPx[] t, double[] p, double[] weights)
    {
        var equations = new NormalEquations(8);
        Span<double> a = stackalloc double[8];
        for (var i = 0; i < s.Length; i++)
        {
            var w = (p[6] * s[i].X) + (p[7] * s[i].Y) + 1;
            for (var c = 0; c < 2; c++)
            {
                var v = ((p[3 * c] * s[i].X) + (p[(3 * c) + 1] * s[i].Y) + p[(3 * c) + 2]) / w;
                a.Clear();
                a[3 * c] = s[i].X / w;
                a[(3 * c) + 1] = s[i].Y / w;
                a[(3 * c) + 2] = 1 / w;
                a[6] = -v * s[i].X / w;
                a[7] = -v * s[i].Y / w;
                equations.Add(a, (c == 0 ? t[i].X : t[i].Y) - v, weights[i]);
            }
        }

        return equations;
    }

    private static double Weigh(PointPx[] s, PointPx[] t, double[] p, double[] weights)
    {
        var errors = new double[s.Length];
        for (var i = 0; i < s.Length; i++)
        {
            var w = (p[6] * s[i].X) + (p[7] * s[i].Y) + 1;
            errors[i] = t[i].DistanceTo(new PointPx(
                ((p[0] * s[i].X) + (p[1] * s[i].Y) + p[2]) / w, ((p[3] * s[i].X) + (p[4] * s[i].Y) + p[5]) / w));
        }

        // A 2-D normal error has a median distance of 1.18 sigma; beyond 2 sigma of a coordinate the weight falls.
        var knee = Math.Max(2 * RobustStatistics.Median(errors) / 1.1774, 1e-9);
        double sum = 0, total = 0;
        for (var i = 0; i < s.Length; i++)
        {
            weights[i] = RobustStatistics.HuberWeight(errors[i], knee);
            sum += weights[i] * errors[i] * errors[i];
            total += weights[i];
        }

        var freedom = (2 * total) - 8;
        return freedom > 0.5 ? Math.Sqrt(sum / freedom) : 0;
    }
}
