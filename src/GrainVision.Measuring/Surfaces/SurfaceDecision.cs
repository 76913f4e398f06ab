using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Surfaces;

/// <summary>
/// The one decision on a surface as a whole: clear, or ask about these marks. A mark is asked about from <see cref="AskFrom"/> on; a surface without one is clear.
/// The number lies in <c>decision.json</c> of models/surface-end (ends) and models/surface (faces); <c>tools/GrainVision.DecisionFit</c> chooses it (<c>RiskControl.cs</c>).
/// </summary>
/// <remarks>
/// Risk control with a finite-sample guarantee, "Learn then Test": A. N. Angelopoulos, S. Bates, E. J. Candès, M. I. Jordan, L. Lei, arXiv:2110.01052 (2021). What is lost is a
/// surface with a blemish that is called clear. <see cref="AskFrom"/> is the highest threshold for which the hypothesis "more than <see cref="Alpha"/> of such surfaces are called
/// clear" was rejected at level <see cref="Delta"/>, thresholds tested upwards one after the other (fixed sequence). It holds for surfaces and photos drawn like those that it was
/// fitted to, on average over them: not kind by kind, and not for blemishes that the photo does not resolve. Probabilities are made to mean what they say by one factor on their
/// logarithms: C. Guo, G. Pleiss, Y. Sun, K. Q. Weinberger, "On calibration of modern neural networks", ICML 2017.
/// </remarks>
/// <param name="Features">Names of the trees' features in their order.</param>
/// <param name="Classes">Words of their classes in their order.</param>
/// <param name="Network">SHA-256 of the surface network whose regions it was fitted to.</param>
/// <param name="Factor">Factor on the logarithms of the trees' scores.</param>
/// <param name="AskFrom">Probability of a blemish from which a mark is asked about.</param>
/// <param name="Alpha">Most surfaces with a blemish that are called clear, as a share.</param>
/// <param name="Delta">Chance that it is more, over the choice of the surfaces that it was fitted to.</param>
/// <param name="Blemished">Surfaces with a blemish that it was fitted to.</param>
/// <param name="CalledClear">How many of those it calls clear.</param>
internal sealed record SurfaceDecision(
    IReadOnlyList<string> Features, IReadOnlyList<string> Classes, string Network, double Factor, double AskFrom, double Alpha, double Delta, int Blemished, int CalledClear)
{
    /// <summary>1e-6: least score, so that its logarithm is finite.</summary>
    private const double Least = 1e-6;

    /// <summary>Before fitting: scores as they are.</summary>
    public static SurfaceDecision None(string network) => new(
        RegionFeatures.Names, [.. Enumerable.Range(0, BlemishClasses.Count).Select(BlemishClasses.Word)], network, 1, 0.5, 0, 0, 0, 0);

    /// <summary>True where a mark with these probabilities is asked about.</summary>
    public bool Asks(IReadOnlyList<double> p) => 1 - p[BlemishClasses.None] >= AskFrom;

    /// <summary>Probabilities of a mark that is asked about by a rule, though the trees never judged it: of one kind, at the threshold.</summary>
    public double[] JustAsked(BlemishKind kind)
    {
        var p = new double[BlemishClasses.Count];
        // The next smaller number: 1 less it is not below the threshold by a rounding.
        (p[BlemishClasses.None], p[BlemishClasses.IndexOf(kind)]) = (Math.BitDecrement(1 - AskFrom), AskFrom);
        return p;
    }

    /// <summary>Calibrated probabilities, summing to 1.</summary>
    public double[] Calibrate(ReadOnlySpan<float> scores)
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
