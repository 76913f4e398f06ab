using System.Numerics;
using GrainVision.Measuring.Numerics;

namespace GrainVision.Measuring.Slope;

/// <summary>A rectangle of a figure.</summary>
internal readonly record struct FigureWindow(int FromColumn, int ToColumn, int FromRow, int ToRow)
{
    public int Columns => ToColumn - FromColumn;
}

/// <summary>Slope of the lines in a window.</summary>
/// <param name="Slope">Tangent, positive from side 1-2 towards side 3-4 along +u.</param>
/// <param name="Correlation">Correlation between strips along that slope, -1 to 1; 0 is chance.</param>
/// <param name="Contrast">How far it stands out over other slopes, in robust deviations.</param>
internal readonly record struct FoundSlope(double Slope, double Correlation, double Contrast);

/// <summary>
/// Measures the slope of lines by how far the figure must be shifted across the grain to look like itself further along the piece: the
/// correlation of strips at several distances, first over all slopes at short distances, then near the best at longer ones.
/// </summary>
/// <remarks>
/// Summed over all distances this is the variance of the sheared, averaged profile (a discrete Radon transform near one direction; W.
/// Postl, US patent 4723297, 1988, for page skew) without the terms of a strip with itself, so that sensor noise counts nothing. Unlike gradient averaging it is not
/// pulled towards saw marks, which average out within a strip.
/// </remarks>
internal sealed class ShearCorrelation(FaceFigure figure, int[] lags)
{
    /// <summary>0.36: steepest slope searched (20°).</summary>
    private const double Steepest = 0.36;

    /// <summary>0.004: step of the first pass; lines a third of a mm wide are not missed at 25 mm.</summary>
    private const double Step = 0.004;

    /// <summary>3: distances of the first pass, the shortest ones.</summary>
    private const int FirstPass = 3;

    /// <summary>3 rows: half-width of the search at each longer distance.</summary>
    private const int NearRows = 3;

    /// <summary>0.12: share of a window that must be known.</summary>
    private const double LeastKnown = 0.12;

    private readonly double _rowsPerColumn = figure.AcrossPerMm / figure.AlongPerMm;

    /// <summary>Finds the slope in a window; null where too little of it is known.</summary>
    public FoundSlope? Find(FigureWindow window)
    {
        Span<double> energy = stackalloc double[lags.Length];
        for (var i = 0; i < lags.Length; i++)
            energy[i] = window.Columns > lags[i] ? Energy(window, lags[i]) : 0;
        // Values have about unit variance where known.
        if (energy[0] < LeastKnown * (window.Columns - lags[0]) * (window.ToRow - window.FromRow))
            return null;

        var scores = Scores(window, energy);
        var best = Array.IndexOf(scores, scores.Max());
        if (best == 0 || best == scores.Length - 1)
            return new FoundSlope((best - (scores.Length / 2)) * Step, 0, 0);
        var typical = RobustStatistics.Median(scores);
        var deviation = RobustStatistics.Deviation(scores.Select(s => s - typical));
        var slope = Refine(window, energy, (Profile.Vertex(scores, best) - (scores.Length / 2)) * Step);
        return new FoundSlope(slope, scores[best], (scores[best] - typical) / Math.Max(1e-4, deviation));
    }

    /// <summary>Correlation of strips <paramref name="lag"/> columns apart along a slope, best of three neighbouring rows; null where too little is known.</summary>
    public double? CorrelationAt(FigureWindow window, int lag, double slope)
    {
        if (window.Columns <= lag + 2)
            return null;
        var energy = Energy(window, lag);
        if (energy <= 0)
            return null;
        var centre = (int)Math.Round(slope * lag * _rowsPerColumn);
        return Enumerable.Range(-1, 3).Max(k => Correlate(window, lag, centre + k)) / energy;
    }

    private double[] Scores(FigureWindow window, ReadOnlySpan<double> energy)
    {
        var half = (int)(Steepest / Step);
        var scores = new double[(2 * half) + 1];
        for (var i = 0; i < Math.Min(FirstPass, lags.Length); i++)
        {
            if (energy[i] <= 0)
                continue;
            var reach = (int)Math.Ceiling(Steepest * lags[i] * _rowsPerColumn) + 1;
            var likeness = new double[(2 * reach) + 1];
            for (var k = -reach; k <= reach; k++)
                likeness[k + reach] = Correlate(window, lags[i], k) / energy[i];
            for (var j = 0; j < scores.Length; j++)
                scores[j] += Profile.At(likeness, ((j - half) * Step * lags[i] * _rowsPerColumn) + reach) / FirstPass;
        }

        return scores;
    }

    /// <summary>Each distance in turn sharpens the slope; it counts by its likeness and by the square of its length.</summary>
    private double Refine(FigureWindow window, ReadOnlySpan<double> energy, double slope)
    {
        var near = new double[(2 * NearRows) + 1];
        double sum = 0, weights = 0;
        for (var i = 0; i < lags.Length; i++)
        {
            if (energy[i] <= 0)
                break;
            var centre = (int)Math.Round(slope * lags[i] * _rowsPerColumn);
            for (var k = -NearRows; k <= NearRows; k++)
                near[k + NearRows] = Correlate(window, lags[i], centre + k) / energy[i];
            var best = Array.IndexOf(near, near.Max());
            if (best == 0 || best == near.Length - 1 || near[best] <= 0)
                continue;
            var weight = near[best] * lags[i] * lags[i];
            sum += weight * (centre + Profile.Vertex(near, best) - NearRows) / (lags[i] * _rowsPerColumn);
            weights += weight;
            slope = sum / weights;
        }

        return slope;
    }

    private double Energy(FigureWindow window, int lag)
    {
        var total = 0.0;
        for (var x = window.FromColumn; x + lag < window.ToColumn; x++)
            total += Dot(Column(x, window.FromRow, window.ToRow), Column(x, window.FromRow, window.ToRow));
        return total;
    }

    private double Correlate(FigureWindow window, int lag, int shift)
    {
        var from = Math.Max(window.FromRow, -shift);
        var to = Math.Min(window.ToRow, figure.Rows - shift);
        if (to - from < 8)
            return 0;
        var total = 0.0;
        for (var x = window.FromColumn; x + lag < window.ToColumn; x++)
            total += Dot(Column(x, from, to), Column(x + lag, from + shift, to + shift));
        return total;
    }

    private ReadOnlySpan<float> Column(int x, int from, int to) => figure.Values.AsSpan((x * figure.Rows) + from, to - from);

    private static float Dot(ReadOnlySpan<float> a, ReadOnlySpan<float> b)
    {
        var n = Vector<float>.Count;
        var (even, odd) = (Vector<float>.Zero, Vector<float>.Zero);
        var k = 0;
        for (; k + (2 * n) <= a.Length; k += 2 * n)
        {
            even += new Vector<float>(a[k..]) * new Vector<float>(b[k..]);
            odd += new Vector<float>(a[(k + n)..]) * new Vector<float>(b[(k + n)..]);
        }

        var sum = Vector.Sum(even + odd);
        for (; k < a.Length; k++)
            sum += a[k] * b[k];
        return sum;
    }
}
