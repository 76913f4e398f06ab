using GrainVision.Grading.Quantities;

namespace GrainVision.Accuracy;

/// <summary>Split conformal prediction with normalised scores (J. Lei et al., JASA 113, 2018, doi:10.1080/01621459.2017.1307116).</summary>
public static class Conformal
{
    /// <summary>Error over the half of the interval on its side; 1 at the interval's end. Without end where the interval has no width on that side.</summary>
    public static double Score(double truth, Measured measured)
    {
        var error = Math.Abs(truth - measured.Value);
        var half = truth > measured.Value ? measured.High - measured.Value : measured.Value - measured.Low;
        return error == 0 ? 0 : half > 0 ? error / half : double.PositiveInfinity;
    }

    /// <summary>The factor on intervals that makes them hold with a probability of at least <paramref name="level"/>: the ceil((n + 1) level)-th smallest of n scores.</summary>
    public static double Factor(IReadOnlyList<double> scores, double level)
    {
        ArgumentNullException.ThrowIfNull(scores);
        var rank = (int)Math.Ceiling((scores.Count + 1) * level);
        return scores.Order().ElementAt(Math.Min(rank, scores.Count) - 1);
    }
}
