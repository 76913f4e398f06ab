using GrainVision.Measuring.Numerics;
using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// Weighs the ways in which rules are divided against the lengths that were measured: a mixture likelihood for each division and
/// each start of its cycle, the Bayesian information criterion for the number of lengths, how long the shortest graduations of steel rules are, and
/// how wide steel rules are.
/// </summary>
/// <remarks>G. Schwarz 1978, "Estimating the dimension of a model", doi:10.1214/aos/1176344136.</remarks>
internal static class GraduationClassifier
{
    /// <summary>One graduation in twenty has a wrong length: a figure touches it, dirt, a scratch.</summary>
    private const double Outliers = 0.05;

    /// <summary>
    /// Under the longest two classes stand figures, and a 1 or a 4 right below a line makes it longer: three in ten of those are wrong.
    /// </summary>
    private const double LongOutliers = 0.3;

    /// <summary>Wrong lengths fall anywhere within 10 spacings.</summary>
    private const double OutlierRange = 10;

    /// <summary>Lengths repeat to 0.08 spacings at best.</summary>
    private const double LeastSigma = 0.08;

    /// <summary>4 % of a length: a long graduation's end is blurred by perspective, figures and the engraver alike.</summary>
    private const double RelativeSigma = 0.04;

    /// <summary>Each longer class is longer by a tenth than the one below, at least: what the eye needs too.</summary>
    private const double LeastStepShare = 0.1;

    /// <summary>2.7 mm: length of the shortest graduations of steel rules, as a log-normal with a factor of 1.55: common practice, no source.</summary>
    private const double UsualShortestMm = 2.7;
    private const double UsualShortestSpread = 0.44;

    /// <summary>
    /// 20 mm: width of steel rules, as a log-normal with a factor of 1.35 (13 to 30 mm): common practice, no source. A rule in tenths of an inch looks 2.5
    /// times as narrow for its spacing.
    /// </summary>
    private const double UsualWidthMm = 20;
    private const double UsualWidthSpread = 0.3;

    /// <summary>One width in five is no rule's: another edge than its back was taken, or it is a tape or a square. Then any width within e^4.</summary>
    private const double WidthOutliers = 0.2;
    private const double WidthOutlierDensity = 0.25;

    /// <summary>16, in squares of standard deviations: another start of the order that fits a part of the row so much better.</summary>
    private const double GreatestShiftGain = 16;

    /// <summary>Four of five lengths within three standard deviations of their class.</summary>
    private const double LeastFittingShare = 0.8;

    /// <summary>Half of them where five numerals and more say the same: numerals among the graduations spoil those beside them, every time anew.</summary>
    private const double LeastFittingShareWithNumerals = 0.5;
    private const int SomeNumerals = 5;

    /// <summary>A caller who names the unit is right nineteen times in twenty.</summary>
    private const double AskedOdds = 19;

    /// <param name="indices">Numbers of the graduations.</param>
    /// <param name="lengths">Their lengths, spacings; NaN is left out.</param>
    /// <param name="widthSpacings">Width of the rule's body in spacings, or null where its back edge does not show.</param>
    /// <param name="numerals">Pitch and height of the numerals, or null where none were found.</param>
    /// <param name="asked">The unit that the caller names, or null.</param>
    public static GraduationVerdict Judge(IReadOnlyList<int> indices, IReadOnlyList<double> lengths, double? widthSpacings, RuleNumerals? numerals, SteelRuleUnit? asked)
    {
        var use = Enumerable.Range(0, lengths.Count).Where(i => double.IsFinite(lengths[i])).ToArray();
        var k = use.Select(i => indices[i]).ToArray();
        var y = use.Select(i => lengths[i]).ToArray();
        var sigma = Graduation.All.SelectMany(g => Enumerable.Range(0, g.Cycle).Select(s => Spread(g, s, k, y))).DefaultIfEmpty(1).Min();
        sigma = Math.Max(LeastSigma, sigma);

        var weights = Graduation.All.Select(g => LogWeight(g, k, y, sigma, asked) + WidthWeight(g, widthSpacings) + NumeralEvidence.LogWeight(g, numerals)).ToArray();
        var chance = y.Length * -Math.Log(OutlierRange);
        var top = Math.Max(weights.Max(), chance);
        var chanceWeight = Math.Exp(chance - top);
        var p = weights.Select(w => Math.Exp(w - top)).ToArray();
        var sum = p.Sum() + chanceWeight;
        var best = Enumerable.Range(0, p.Length).MaxBy(i => p[i]);

        double Sum(Func<Graduation, bool> which) => Enumerable.Range(0, p.Length).Where(i => which(Graduation.All[i])).Sum(i => p[i]) / sum;
        var winner = Graduation.All[best];
        return new GraduationVerdict(
            winner,
            Sum(g => g.Unit == winner.Unit && g.StepMm == winner.StepMm),
            Sum(g => g.Unit == SteelRuleUnit.Mm),
            Sum(g => g.Unit == SteelRuleUnit.Inch),
            chanceWeight / sum < 0.01,
            IsClear(winner, k, y, sigma, numerals) && IsOneCount(winner, k, y, sigma))
        {
            Weights = [.. Graduation.All.Zip(p).Where(g => g.First.Unit is not null).GroupBy(g => (Unit: g.First.Unit!.Value, g.First.StepMm)).Select(g => (g.Key.Unit, g.Key.StepMm, g.Sum(x => x.Second) / sum))],
            LongestClass = Longest(winner, k, y, sigma),
            UnreadableP = (Graduation.All.Zip(p).Where(g => g.First.Unit is null).Sum(g => g.Second) + chanceWeight) / sum,
        };
    }

    /// <summary>
    /// The likeliest of bad explanations is still bad: four of five lengths must fit, and every class must be seen and be longer than the
    /// one below by itself, without help from the ordering.
    /// </summary>
    private static bool IsClear(Graduation g, int[] k, double[] y, double sigma, RuleNumerals? numerals)
    {
        var start = Enumerable.Range(0, g.Cycle).MaxBy(s => Likelihood(g, s, k, y, sigma).Value);
        var groups = Groups(g, start, k, y);
        var (means, _) = Means(g, start, k, y);
        var fitting = 0;
        for (var l = 0; l < g.Levels; l++)
        {
            // The top class of an inch rule may lie outside the picture; no other may.
            if (groups[l].Count == 0 && (l < g.Levels - 1 || g.Levels <= 3))
                return false;
            fitting += groups[l].Count(v => Math.Abs(v - means[l]) <= 3 * ScaleUncertaintyBudget.Combine(sigma, RelativeSigma * means[l]));
            if (l > 0 && groups[l].Count > 0 && Median(groups[l]) < (1 + (0.6 * LeastStepShare)) * Median(groups[l - 1]))
                return false;
        }

        return fitting >= (numerals is { Count: >= SomeNumerals } && numerals.IsAt(g.MajorGraduations) ? LeastFittingShareWithNumerals : LeastFittingShare) * y.Length;
    }

    private static (int Index, double Spacings)[] Longest(Graduation g, int[] k, double[] y, double sigma)
    {
        var start = Enumerable.Range(0, g.Cycle).MaxBy(s => Likelihood(g, s, k, y, sigma).Value);
        return [.. Enumerable.Range(0, y.Length).Where(i => g.Level(Mod(k[i] - start, g.Cycle)) == g.Levels - 1).Select(i => (k[i], y[i]))];
    }

    /// <summary>
    /// The order of lengths starts at the same graduation all along the row: a graduation counted twice or not at all would move it from there on.
    /// </summary>
    private static bool IsOneCount(Graduation g, int[] k, double[] y, double sigma)
    {
        var start = Enumerable.Range(0, g.Cycle).MaxBy(s => Likelihood(g, s, k, y, sigma).Value);
        var (means, _) = Means(g, start, k, y);
        var parts = Math.Clamp(y.Length / Math.Max(12, g.Cycle), 1, 6);
        for (var part = 0; part < parts; part++)
        {
            var (from, to) = (part * y.Length / parts, (part + 1) * y.Length / parts);
            double Fits(int s)
            {
                var sum = 0.0;
                for (var i = from; i < to; i++)
                {
                    var mean = means[g.Level(Mod(k[i] - s, g.Cycle))];
                    sum += Math.Min(9, Math.Pow((y[i] - mean) / ScaleUncertaintyBudget.Combine(sigma, RelativeSigma * mean), 2));
                }

                return sum;
            }

            if (Enumerable.Range(0, g.Cycle).Min(Fits) < Fits(start) - GreatestShiftGain)
                return false;
        }

        return true;
    }

    private static double LogWeight(Graduation g, int[] k, double[] y, double sigma, SteelRuleUnit? asked)
    {
        var (best, shortest) = Enumerable.Range(0, g.Cycle).Select(start => Likelihood(g, start, k, y, sigma)).MaxBy(l => l.Value);
        best += Math.Log(g.Prior) - Math.Log(g.Cycle);
        if (g.Unit is not null)
        {
            var z = Math.Log(Math.Max(0.1, shortest) * g.StepMm / UsualShortestMm) / UsualShortestSpread;
            best -= 0.5 * z * z;
        }

        if (asked is not null && g.Unit is not null && g.Unit != asked)
            best -= Math.Log(AskedOdds);
        return best;
    }

    private static double WidthWeight(Graduation g, double? widthSpacings)
    {
        if (g.Unit is null || widthSpacings is not { } width)
            return 0;
        var z = Math.Log(width * g.StepMm / UsualWidthMm) / UsualWidthSpread;
        var usual = Math.Exp(-0.5 * z * z) / (UsualWidthSpread * Math.Sqrt(2 * Math.PI));
        return Math.Log(((1 - WidthOutliers) * usual) + (WidthOutliers * WidthOutlierDensity));
    }

    /// <summary>Logarithm of the likelihood for one start of the cycle, less the price of its classes; and the shortest class's length.</summary>
    private static (double Value, double Shortest) Likelihood(Graduation g, int start, int[] k, double[] y, double sigma)
    {
        var (means, present) = Means(g, start, k, y);
        var sum = -0.5 * present * Math.Log(Math.Max(2, y.Length));
        for (var i = 0; i < y.Length; i++)
        {
            var level = g.Level(Mod(k[i] - start, g.Cycle));
            var mean = means[level];
            var outliers = g.Levels > 2 && level >= g.Levels - 2 ? LongOutliers : Outliers;
            var s = ScaleUncertaintyBudget.Combine(sigma, RelativeSigma * mean);
            var r = (y[i] - mean) / s;
            sum += Math.Log(((1 - outliers) * Math.Exp(-0.5 * r * r) / (s * Math.Sqrt(2 * Math.PI))) + (outliers / OutlierRange));
        }

        return (sum, means[0]);
    }

    private static List<double>[] Groups(Graduation g, int start, int[] k, double[] y)
    {
        var groups = new List<double>[g.Levels];
        for (var l = 0; l < g.Levels; l++)
            groups[l] = [];
        for (var i = 0; i < y.Length; i++)
            groups[g.Level(Mod(k[i] - start, g.Cycle))].Add(y[i]);
        foreach (var group in groups)
            group.Sort();
        return groups;
    }

    private static double Median(List<double> sorted) => 0.5 * (sorted[(sorted.Count - 1) / 2] + sorted[sorted.Count / 2]);

    /// <summary>Median length of each class, raised where needed so that every class is longer than the one below; and how many classes were seen.</summary>
    private static (double[] Means, int Present) Means(Graduation g, int start, int[] k, double[] y)
    {
        var groups = Groups(g, start, k, y);
        var means = new double[g.Levels];
        var seen = new List<int>();
        for (var l = 0; l < g.Levels; l++)
        {
            if (groups[l].Count == 0)
                continue;
            means[l] = Median(groups[l]);
            seen.Add(l);
        }

        Order(means, groups.Select(v => v.Count).ToArray(), seen);
        return (means, seen.Count);
    }

    /// <summary>Pools adjacent violators about a staircase of the least steps (isotonic regression).</summary>
    private static void Order(double[] means, int[] counts, List<int> seen)
    {
        if (seen.Count == 0)
            return;
        var stair = new double[means.Length];
        for (var i = 1; i < seen.Count; i++)
            stair[seen[i]] = stair[seen[i - 1]] + (LeastStepShare * Math.Max(0.5, means[seen[i - 1]]));
        var blocks = new List<(double Value, double Weight, int Count)>();
        foreach (var l in seen)
        {
            blocks.Add((means[l] - stair[l], counts[l], 1));
            while (blocks.Count > 1 && blocks[^2].Value > blocks[^1].Value)
            {
                var (a, b) = (blocks[^2], blocks[^1]);
                blocks.RemoveRange(blocks.Count - 2, 2);
                blocks.Add((((a.Value * a.Weight) + (b.Value * b.Weight)) / (a.Weight + b.Weight), a.Weight + b.Weight, a.Count + b.Count));
            }
        }

        var at = 0;
        foreach (var block in blocks)
        {
            for (var i = 0; i < block.Count; i++, at++)
                means[seen[at]] = block.Value + stair[seen[at]];
        }
    }

    private static double Spread(Graduation g, int start, int[] k, double[] y)
    {
        if (y.Length == 0)
            return 1;

        // As many classes as graduations would fit anything: only divisions with few graduations a class may set the spread.
        var (means, present) = Means(g, start, k, y);
        if (y.Length < 3 * present)
            return double.PositiveInfinity;
        return RobustStatistics.Deviation(y.Select((value, i) => value - means[g.Level(Mod(k[i] - start, g.Cycle))]));
    }

    private static int Mod(int a, int n) => ((a % n) + n) % n;
}
