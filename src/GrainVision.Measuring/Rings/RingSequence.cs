namespace GrainVision.Measuring.Rings;

/// <summary>
/// Which candidates are rings, by their own chance and by how regular they make the ring widths: a tree's rings change slowly, so a gap of two widths speaks for a
/// doubtful candidate in its middle, and two halves of a width against one.
/// </summary>
internal static class RingSequence
{
    /// <summary>0.29: scale of ln(next width / width), from 22,695 pairs of the measured ring-width series (their quartiles are ±0.21).</summary>
    private const double LogRatioScale = 0.29;

    /// <summary>4: degrees of freedom of Student's t that fits the tails of the same pairs (2.5 % beyond ±0.77, 0.5 % beyond ±1.2).</summary>
    private const double LogRatioFreedom = 4;

    /// <summary>
    /// 0.4: weight of the widths beside the network's word. In full they took rings away that are truly narrow beside wide ones (6 ends of 50), with none the
    /// network's doubtful candidates stayed (4 more ends off by more than 1 %).
    /// </summary>
    private const double Weight = 0.4;

    /// <summary>14: a boundary may be up to so many candidates after the one before it.</summary>
    private const int MostSkipped = 14;

    /// <summary>
    /// Dynamic programming over pairs of neighbouring boundaries: each candidate earns <paramref name="logOdds"/> (log odds of being
    /// a boundary), each pair of neighbouring rings pays for an unlikely ratio of their widths.
    /// </summary>
    /// <param name="at">Candidate positions, ascending.</param>
    /// <param name="logOdds">Log odds of each candidate.</param>
    /// <param name="leastWidth">Narrowest ring allowed.</param>
    /// <returns>Indices into the candidates, ascending.</returns>
    public static int[] Choose(double[] at, double[] logOdds, double leastWidth)
    {
        var n = at.Length;
        // State (j, i): boundary i follows boundary j; slot MostSkipped: i is the first boundary.
        var best = new double[n, MostSkipped + 1];
        var from = new int[n, MostSkipped + 1];
        for (var i = 0; i < n; i++)
        {
            for (var b = 0; b <= MostSkipped; b++)
                best[i, b] = double.NegativeInfinity;

            // Starting late costs what the skipped candidates would have earned, through their own log odds: nothing more.
            best[i, MostSkipped] = logOdds[i];
            for (var back = 1; back <= MostSkipped && back <= i; back++)
            {
                var j = i - back;
                var width = at[i] - at[j];
                if (width < leastWidth)
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
                }
            }
        }

        return Trace(n, best, from);
    }

    /// <summary>Cost of neighbouring widths in this ratio: minus the log of Student's t density of ln(ratio), zero for equal widths, weighted.</summary>
    internal static double RatioCost(double ratio)
    {
        var x = Math.Log(ratio) / LogRatioScale;
        return Weight * 0.5 * (LogRatioFreedom + 1) * Math.Log(1 + (x * x / LogRatioFreedom));
    }

    /// <summary>
    /// Log odds that each candidate is a ring, the choice of all others taken as it is: its own, and what its being there saves or costs in ratios of widths.
    /// </summary>
    /// <param name="at">Candidate positions, ascending.</param>
    /// <param name="logOdds">Their own log odds.</param>
    /// <param name="chosen">The choice.</param>
    public static double[] Given(double[] at, double[] logOdds, int[] chosen)
    {
        var result = new double[at.Length];
        for (var i = 0; i < at.Length; i++)
        {
            var next = Array.FindIndex(chosen, c => c >= i);
            next = next < 0 ? chosen.Length : next;
            var taken = next < chosen.Length && chosen[next] == i;
            double[] before = [.. chosen[Math.Max(0, next - 2)..next].Select(c => at[c])];
            double[] after = [.. chosen.Skip(taken ? next + 1 : next).Take(2).Select(c => at[c])];
            result[i] = logOdds[i] - Cost([.. before, at[i], .. after]) + Cost([.. before, .. after]);
        }

        return result;
    }

    private static double Cost(double[] at)
    {
        var cost = 0.0;
        for (var i = 2; i < at.Length; i++)
            cost += RatioCost(Math.Max(1e-6, at[i] - at[i - 1]) / Math.Max(1e-6, at[i - 1] - at[i - 2]));
        return cost;
    }

    private static int[] Trace(int n, double[,] best, int[,] from)
    {
        var (endI, endB) = (-1, -1);
        for (var i = 0; i < n; i++)
        {
            for (var b = 0; b <= MostSkipped; b++)
            {
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
        return [.. chosen];
    }
}
