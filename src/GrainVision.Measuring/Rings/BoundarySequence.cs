namespace GrainVision.Measuring.Rings;

/// <summary>The sequence of boundaries that explains the candidates best.</summary>
/// <param name="Chosen">Indices into the candidates, ascending.</param>
/// <param name="CountMean">Expected number of boundaries over all sequences, weighted by how well they explain.</param>
/// <param name="CountDeviation">Standard deviation of that number: how far the count itself is in doubt.</param>
internal sealed record BoundarySequence(int[] Chosen, double CountMean, double CountDeviation)
{
    /// <summary>0.29: scale of ln(next width / width), from 22,695 pairs of the measured ring-width series (their quartiles are ±0.21).</summary>
    private const double LogRatioScale = 0.29;

    /// <summary>4: degrees of freedom of Student's t that fits the tails of the same pairs (2.5 % beyond ±0.77, 0.5 % beyond ±1.2).</summary>
    private const double LogRatioFreedom = 4;

    /// <summary>14: a boundary may be up to so many candidates after the one before it.</summary>
    private const int MostSkipped = 14;

    /// <summary>
    /// Dynamic programming over pairs of neighbouring boundaries: each candidate earns <paramref name="logOdds"/> (log odds of being
    /// a boundary), each pair of neighbouring rings pays for an unlikely ratio of their widths.
    /// </summary>
    /// <param name="at">Candidate positions, ascending, px.</param>
    /// <param name="logOdds">Log odds of each candidate.</param>
    /// <param name="leastWidthPx">Narrowest ring allowed.</param>
    public static BoundarySequence Choose(double[] at, double[] logOdds, double leastWidthPx)
    {
        var n = at.Length;
        // State (j, i): boundary i follows boundary j; slot MostSkipped: i is the first boundary.
        var best = new double[n, MostSkipped + 1];
        var from = new int[n, MostSkipped + 1];
        var soft = new Expectation[n, MostSkipped + 1];
        for (var i = 0; i < n; i++)
        {
            for (var b = 0; b <= MostSkipped; b++)
            {
                best[i, b] = double.NegativeInfinity;
                soft[i, b] = Expectation.None;
            }

            // Starting late costs what the skipped candidates would have earned, through their own log odds: nothing more.
            best[i, MostSkipped] = logOdds[i];
            soft[i, MostSkipped] = new Expectation(logOdds[i], 1, 1);
            for (var back = 1; back <= MostSkipped && back <= i; back++)
            {
                var j = i - back;
                var width = at[i] - at[j];
                if (width < leastWidthPx)
                    continue;
                for (var b = 0; b <= MostSkipped; b++)
                {
                    if (double.IsNegativeInfinity(best[j, b]))
                        continue;
                    var step = logOdds[i] - (b == MostSkipped ? 0 : RatioCost(width / (at[j] - at[j - b - 1])));
                    if (best[j, b] + step > best[i, back - 1])
                    {
                        best[i, back - 1] = best[j, b] + step;
                        from[i, back - 1] = b;
                    }

                    soft[i, back - 1] = soft[i, back - 1].Or(soft[j, b].Then(step));
                }
            }
        }

        return Trace(n, best, from, soft);
    }

    /// <summary>Cost of neighbouring widths in this ratio: minus the log of Student's t density of ln(ratio), zero for equal widths.</summary>
    internal static double RatioCost(double ratio)
    {
        var x = Math.Log(ratio) / LogRatioScale;
        return 0.5 * (LogRatioFreedom + 1) * Math.Log(1 + (x * x / LogRatioFreedom));
    }

    private static BoundarySequence Trace(int n, double[,] best, int[,] from, Expectation[,] soft)
    {
        var (endI, endB, total) = (-1, -1, Expectation.None);
        for (var i = 0; i < n; i++)
        {
            for (var b = 0; b <= MostSkipped; b++)
            {
                total = total.Or(soft[i, b]);
                if (endI < 0 || best[i, b] > best[endI, endB])
                    (endI, endB) = (i, b);
            }
        }

        var chosen = new List<int>();
        while (endI >= 0)
        {
            chosen.Add(endI);
            if (endB == MostSkipped)
                break;
            var next = endI - endB - 1;
            endB = from[endI, endB];
            endI = next;
        }

        chosen.Reverse();
        return new BoundarySequence([.. chosen], total.Mean, Math.Sqrt(Math.Max(0, total.Square - (total.Mean * total.Mean))));
    }

    /// <summary>A log weight with the mean and mean square of the count under it: the expectation semiring (J. Eisner, ACL 2002).</summary>
    private readonly record struct Expectation(double LogWeight, double Mean, double Square)
    {
        public static Expectation None => new(double.NegativeInfinity, 0, 0);

        /// <summary>One more boundary at this gain.</summary>
        public Expectation Then(double gain) => new(LogWeight + gain, Mean + 1, Square + (2 * Mean) + 1);

        public Expectation Or(Expectation other)
        {
            if (double.IsNegativeInfinity(LogWeight))
                return other;
            if (double.IsNegativeInfinity(other.LogWeight))
                return this;
            var top = Math.Max(LogWeight, other.LogWeight);
            var (a, b) = (Math.Exp(LogWeight - top), Math.Exp(other.LogWeight - top));
            var share = a / (a + b);
            return new Expectation(top + Math.Log(a + b), (share * Mean) + ((1 - share) * other.Mean), (share * Square) + ((1 - share) * other.Square));
        }
    }
}
