namespace GrainVision.DecisionFit;

/// <summary>
/// Chooses from which probability on marks are asked about, with a finite-sample guarantee ("Learn then Test", arXiv:2110.01052, with fixed-sequence testing; the loss is 0
/// or 1, so the p-value is the binomial tail itself).
/// </summary>
internal static class RiskControl
{
    /// <summary>0.5 % to 90 %, each 5 % above the one before it: the sequence is fixed before anything is seen.</summary>
    private static readonly double[] Tried = [.. Enumerable.Range(0, 200).Select(i => 0.005 * Math.Pow(1.05, i)).TakeWhile(t => t <= 0.9)];

    /// <param name="AskFrom">Threshold.</param>
    /// <param name="Alpha">What holds at it.</param>
    /// <param name="Missed">Surfaces with a blemish that it calls clear.</param>
    internal readonly record struct Chosen(double AskFrom, double Alpha, int Missed);

    /// <summary>1 to 5 %: levels that are tried, strictest first.</summary>
    private static readonly double[] Levels = [0.01, 0.02, 0.03, 0.04, 0.05];

    /// <summary>
    /// The threshold of each level that can be held, strictest first. Each level is tested at a share of delta (Bonferroni), so that what is said holds whichever of them is taken.
    /// </summary>
    /// <param name="scores">As below.</param>
    /// <param name="delta">Chance that more are called clear than any of the levels says.</param>
    public static IReadOnlyList<Chosen> ChooseEach(IReadOnlyList<double> scores, double delta)
    {
        var each = Levels.Select(alpha => Choose(scores, alpha, delta / Levels.Length)).ToList();
        return each.Where((c, i) => c.Alpha <= Levels[i]).ToList() is { Count: > 0 } held ? held : [each[^1]];
    }

    /// <param name="scores">Of each surface with a blemish: the greatest probability among its marks that are one; 0 where none was found.</param>
    /// <param name="alpha">Most that may be called clear, as a share.</param>
    /// <param name="delta">Chance that it is more.</param>
    public static Chosen Choose(IReadOnlyList<double> scores, double alpha, double delta)
    {
        double? chosen = null;
        foreach (var t in Tried)
        {
            if (BinomialTail(scores.Count(s => s < t), scores.Count, alpha) > delta)
                break;
            chosen = t;
        }

        // Not even the least one passes: it is taken, and what holds at it is said instead.
        var at = Math.Round(chosen ?? Tried[0], 4, MidpointRounding.ToZero);
        var missed = scores.Count(s => s < at);
        return new Chosen(at, chosen is null ? UpperBound(missed, scores.Count, delta) : alpha, missed);
    }

    /// <summary>Chance of at most k of n at probability p.</summary>
    public static double BinomialTail(int k, int n, double p)
    {
        var (sum, logChoose) = (0.0, 0.0);
        for (var i = 0; i <= k; i++)
        {
            sum += Math.Exp(logChoose + (i * Math.Log(p)) + ((n - i) * Math.Log(1 - p)));
            logChoose += Math.Log((double)(n - i) / (i + 1));
        }

        return Math.Min(1, sum);
    }

    /// <summary>Greatest probability at which k of n or fewer have a chance of more than delta (Clopper and Pearson 1934), rounded up to four places.</summary>
    private static double UpperBound(int k, int n, double delta)
    {
        var (low, high) = ((double)k / n, 1.0);
        for (var i = 0; i < 50; i++)
        {
            var middle = (low + high) / 2;
            if (BinomialTail(k, n, middle) > delta)
                low = middle;
            else
                high = middle;
        }

        return Math.Ceiling(high * 1e4) / 1e4;
    }
}
