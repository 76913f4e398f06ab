namespace GrainVision.Measuring.Numerics;

/// <summary>Statistics that a few outliers cannot pull away.</summary>
internal static class RobustStatistics
{
    /// <summary>1.4826: from the median absolute deviation of a normal distribution to its standard deviation, 1 over the inverse Phi of 3/4.</summary>
    private const double DeviationsInMedian = 1.4826;

    /// <summary>Quantile of unsorted values, 0 to 1, nearest rank; 0 for none.</summary>
    public static double Quantile(IEnumerable<double> values, double q)
    {
        var sorted = values.ToArray();
        Array.Sort(sorted);
        return sorted.Length == 0 ? 0 : sorted[(int)Math.Round(q * (sorted.Length - 1))];
    }

    /// <summary>Middle value, nearest rank; 0 for none.</summary>
    public static double Median(IEnumerable<double> values) => Quantile(values, 0.5);

    /// <summary>Standard deviation of a normal distribution with the same median absolute residual (the upper of two middle ones).</summary>
    /// <param name="residuals">At least one, of either sign, about zero.</param>
    public static double Deviation(IEnumerable<double> residuals)
    {
        var sizes = residuals.Select(Math.Abs).ToArray();
        Array.Sort(sizes);
        return DeviationsInMedian * sizes[sizes.Length / 2];
    }

    /// <summary>Huber's weight: 1 up to the knee, falling as its inverse beyond. P. J. Huber 1964, doi:10.1214/aoms/1177703732.</summary>
    /// <param name="distance">From the fit, 0 or more.</param>
    /// <param name="knee">Above 0, in the same unit.</param>
    public static double HuberWeight(double distance, double knee) => distance <= knee ? 1 : knee / distance;
}
