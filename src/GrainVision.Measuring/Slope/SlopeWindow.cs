using GrainVision.Measuring.Imaging;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>Slope of the lines in one window of a face.</summary>
/// <param name="CentreMm">Middle of the window.</param>
/// <param name="Slope">Tangent, positive from side 1-2 towards side 3-4 along +u.</param>
/// <param name="Contrast">How much the lines stand out at this slope over other slopes; 1 is chance.</param>
/// <param name="Lane">Place across the face, 0 at side 1-2.</param>
/// <param name="Station">Place along the face.</param>
internal readonly record struct SlopeWindow(Point2d CentreMm, double Slope, double Contrast, int Lane, int Station);

/// <summary>
/// Measures the slope of lines by projection: for each trial slope the window is sheared and averaged along the piece; at the
/// true slope lines add up and the averaged profile varies most.
/// </summary>
/// <remarks>
/// The variance-of-projection criterion (a discrete Radon transform near one direction; W. Postl, US patent 4723297, 1988, for page skew).
/// Unlike gradient averaging it is not pulled towards saw marks or noise, which average out along the line.
/// </remarks>
internal static class ShearProjection
{
    /// <summary>0.36: steepest slope searched (20°).</summary>
    private const double Steepest = 0.36;

    /// <summary>Finds the slope in a window; null where too little of it is wood.</summary>
    public static (double Slope, double Contrast)? Find(FaceFigure figure, int fromColumn, int toColumn, int fromRow, int toRow)
    {
        var lengthMm = (toColumn - fromColumn) / figure.AlongPerMm;
        // A line may shift by a third of a mm from end to end between trials without being missed.
        var coarse = Math.Clamp(0.35 / lengthMm, 0.004, 0.03);
        var steps = (int)Math.Ceiling(Steepest / coarse);
        var scores = new double[(2 * steps) + 1];
        var wood = 0.0;
        for (var i = 0; i < scores.Length; i++)
            (scores[i], wood) = Variance(figure, fromColumn, toColumn, fromRow, toRow, (i - steps) * coarse);
        if (wood < 0.4)
            return null;

        var best = Array.IndexOf(scores, scores.Max());
        var typical = Profile.Quantile(scores, 0.5);
        var slope = (Profile.Vertex(scores, best) - steps) * coarse;
        if (best == 0 || best == scores.Length - 1)
            return (slope, 1);
        return (Refine(figure, fromColumn, toColumn, fromRow, toRow, slope, coarse / 2), scores[best] / Math.Max(1e-12, typical));
    }

    private static double Refine(FaceFigure figure, int fromColumn, int toColumn, int fromRow, int toRow, double slope, double step)
    {
        for (var round = 0; round < 2; round++)
        {
            var near = new double[5];
            for (var i = 0; i < 5; i++)
                near[i] = Variance(figure, fromColumn, toColumn, fromRow, toRow, slope + ((i - 2) * step)).Variance;
            var best = Array.IndexOf(near, near.Max());
            slope += (Profile.Vertex(near, best) - 2) * step;
            step /= 2;
        }

        return slope;
    }

    /// <summary>Variance of the sheared, averaged profile, and the share of the window that is wood.</summary>
    private static (double Variance, double Wood) Variance(FaceFigure figure, int fromColumn, int toColumn, int fromRow, int toRow, double slope)
    {
        var rows = toRow - fromRow;
        var sum = new double[rows];
        var count = new double[rows];
        var middle = (fromColumn + toColumn - 1) / 2.0;
        for (var x = fromColumn; x < toColumn; x++)
        {
            var shift = slope * (x - middle) / figure.AlongPerMm * figure.AcrossPerMm;
            var whole = (int)Math.Floor(shift);
            var part = (float)(shift - whole);
            for (var r = 0; r < rows; r++)
            {
                var y = fromRow + r + whole;
                if (y < 0 || y + 1 >= figure.Height)
                    continue;
                var i = (y * figure.Width) + x;
                if (!figure.Inside[i] || !figure.Inside[i + figure.Width])
                    continue;
                sum[r] += figure.Values[i] + (part * (figure.Values[i + figure.Width] - figure.Values[i]));
                count[r]++;
            }
        }

        double n = 0, total = 0, squares = 0, wood = 0;
        var full = toColumn - fromColumn;
        for (var r = 0; r < rows; r++)
        {
            wood += count[r];
            if (count[r] < 0.5 * full)
                continue;
            var mean = sum[r] / count[r];
            n++;
            total += mean;
            squares += mean * mean;
        }

        return n < 6 ? (0, 0) : ((squares / n) - (total / n * (total / n)), wood / (full * (double)rows));
    }
}
