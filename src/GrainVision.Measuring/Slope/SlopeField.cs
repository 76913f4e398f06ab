using GrainVision.Measuring.Numerics;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>
/// Slope over a face as a plane through the windows' slopes: spiral grain and taper change it slowly, and a plane speaks for the whole face
/// even where windows are missing on one side.
/// </summary>
/// <remarks>
/// Least squares reweighted after Huber (P. J. Huber, Ann. Math. Statist. 35, 1964, doi:10.1214/aoms/1177703732), held back from
/// leaning by a prior where windows are few.
/// </remarks>
internal sealed class SlopeField
{
    /// <summary>0.0003 per mm along the piece, 0.0005 across: standard deviation of the slope's change that wood is taken to show beforehand.</summary>
    private const double LeanAlong = 0.0003;

    private const double LeanAcross = 0.0005;

    /// <summary>0.002: least spread of a window; keeps the weights finite on perfect drawings.</summary>
    private const double LeastSpread = 0.002;

    private readonly double[] _plane;
    private readonly double[,] _covariance;
    private readonly Point2d _origin;

    private SlopeField(double[] plane, double[,] covariance, Point2d origin, double spread, int count)
    {
        _plane = plane;
        _covariance = covariance;
        _origin = origin;
        Spread = spread;
        Count = count;
    }

    /// <summary>Robust standard deviation of the windows about the plane, tangent.</summary>
    public double Spread { get; }

    /// <summary>Windows that it rests on.</summary>
    public int Count { get; }

    /// <summary>Fits the plane; null for fewer than three windows.</summary>
    public static SlopeField? Fit(IReadOnlyList<SlopeWindow> windows)
    {
        if (windows.Count < 3)
            return null;
        var origin = new Point2d(windows.Average(w => w.CentreMm.X), windows.Average(w => w.CentreMm.Y));
        double[] plane = [RobustStatistics.Median(windows.Select(w => w.Slope)), 0, 0];
        var spread = SpreadAbout(windows, plane, origin);
        var inverse = new double[3, 3];
        for (var round = 0; round < 6; round++)
        {
            var equations = new NormalEquations(3);
            equations.AddPrior(1, 0, 1 / (LeanAlong * LeanAlong));
            equations.AddPrior(2, 0, 1 / (LeanAcross * LeanAcross));
            foreach (var w in windows)
            {
                double[] x = [1, w.CentreMm.X - origin.X, w.CentreMm.Y - origin.Y];
                var weight = RobustStatistics.HuberWeight(Math.Abs(w.Slope - Dot(plane, x)), 1.5 * spread) / (spread * spread);
                equations.Add(x, w.Slope, weight);
            }

            if (equations.SolveWithInverse() is not { } solved)
                return null;
            (plane, inverse) = solved;
            spread = SpreadAbout(windows, plane, origin);
        }

        return new SlopeField(plane, inverse, origin, spread, windows.Count);
    }

    /// <summary>Slope at a place, tangent.</summary>
    public double At(Point2d mm) => Dot(_plane, Place(mm));

    /// <summary>Standard uncertainty of <see cref="At"/> from the windows' scatter alone, as if they were independent.</summary>
    public double UncertaintyAt(Point2d mm)
    {
        var x = Place(mm);
        var sum = 0.0;
        for (var i = 0; i < 3; i++)
        {
            for (var j = 0; j < 3; j++)
                sum += x[i] * _covariance[i, j] * x[j];
        }

        return Math.Sqrt(Math.Max(0, sum));
    }

    private double[] Place(Point2d mm) => [1, mm.X - _origin.X, mm.Y - _origin.Y];

    private static double SpreadAbout(IReadOnlyList<SlopeWindow> windows, double[] plane, Point2d origin) => Math.Max(
        LeastSpread,
        RobustStatistics.Deviation(windows.Select(w => w.Slope - Dot(plane, [1, w.CentreMm.X - origin.X, w.CentreMm.Y - origin.Y]))));

    private static double Dot(double[] a, double[] b) => (a[0] * b[0]) + (a[1] * b[1]) + (a[2] * b[2]);
}
