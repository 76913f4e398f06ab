namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// Turns the trees' scores into probabilities that mean what they say, and says from which on a candidate is reported. Fitted on
/// pictures that the trees were not grown on.
/// </summary>
/// <remarks>
/// One factor for all logarithms of the probabilities, fitted by maximum likelihood: C. Guo, G. Pleiss, Y. Sun,
/// K. Q. Weinberger, "On calibration of modern neural networks", ICML 2017 (temperature scaling).
/// </remarks>
/// <param name="Features">Names of the features in the order that the trees expect.</param>
/// <param name="Classes">Words of the classes in their order.</param>
/// <param name="Factor">Factor on the logarithms.</param>
/// <param name="ReportFrom">
/// For each class, should it be the likeliest kind: the probability of any blemish from which a candidate is reported; below it, it is dismissed.
/// </param>
internal sealed record BlemishCalibration(
    IReadOnlyList<string> Features, IReadOnlyList<string> Classes, double Factor, IReadOnlyList<double> ReportFrom)
{
    /// <summary>1e-6: least probability of a tree score, so that its logarithm is finite.</summary>
    public const double Least = 1e-6;

    /// <summary>Leaves the scores as they are: for calibrating.</summary>
    public static BlemishCalibration None => new(BlemishFeatures.Names, [.. Enumerable.Range(0, BlemishClasses.Count).Select(BlemishClasses.Word)], 1, Same(1));

    /// <summary>One threshold for all kinds.</summary>
    public static IReadOnlyList<double> Same(double reportFrom) => [.. Enumerable.Repeat(reportFrom, BlemishClasses.Count)];

    /// <summary>True where a candidate with these calibrated probabilities is reported.</summary>
    public static bool Reports(IReadOnlyList<double> reportFrom, IReadOnlyList<double> p) => 1 - p[BlemishClasses.None] >= reportFrom[BlemishClasses.Likeliest(p)];

    /// <summary>Calibrated probabilities, summing to 1.</summary>
    public double[] Apply(ReadOnlySpan<float> scores)
    {
        var result = new double[scores.Length];
        for (var k = 0; k < result.Length; k++)
            result[k] = Factor * Math.Log(Math.Max(Least, scores[k]));
        var most = result.Max();
        var sum = 0.0;
        for (var k = 0; k < result.Length; k++)
            sum += result[k] = Math.Exp(result[k] - most);
        for (var k = 0; k < result.Length; k++)
            result[k] /= sum;
        return result;
    }
}
