using OpenCvSharp;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// The numerals of a rule as a witness that is not its graduations: how many graduations from one to the next, and how high they are. Their digits are not
/// read.
/// </summary>
/// <param name="Pitch">Graduations from one numeral to the next.</param>
/// <param name="HeightSpacings">Height of a digit in spacings.</param>
/// <param name="Count">How many numerals stand at that pitch.</param>
internal sealed record RuleNumerals(double Pitch, double HeightSpacings, int Count)
{
    /// <summary>Heights of digits, spacings: 2 mm on a rule of tenths of an inch to 5 mm on one of sixty-fourths.</summary>
    private const double LeastHeight = 0.8;
    private const double GreatestHeight = 13;

    /// <summary>Digits of one row have the same height within this share.</summary>
    private const double SameHeight = 0.14;

    /// <summary>Two digits of one number stand closer than this share of their height.</summary>
    private const double DigitGap = 0.55;

    /// <summary>0.12: numbers stand at their pitch within this share of it; 9 and 10 have different middles, and a digit may be hidden.</summary>
    private const double Steady = 0.12;

    /// <summary>True where the numbers stand so many graduations apart.</summary>
    public bool IsAt(double graduations) => Math.Abs(Math.Log(Pitch / graduations)) < (Count > 3 ? PitchWithin : 2 * PitchWithin);

    /// <summary>4 %: a numeral stands somewhat beside its graduation.</summary>
    private const double PitchWithin = 0.04;

    private readonly record struct Digit(double Left, double Right, double Top, double Bottom)
    {
        public double Height => Bottom - Top;
    }

    /// <summary>Looks beyond the shortest graduations; null where no row of evenly spaced numbers shows.</summary>
    public static RuleNumerals? Find(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths)
    {
        var digits = Digits(strip, ticks, fit, lengths);
        RuleNumerals? best = null;

        // Each height of digit and each depth they stand at is one row of numbers.
        for (var from = 0; from < digits.Count; from++)
        {
            var first = digits[from];
            var row = digits.Where(d => Math.Abs(d.Top - first.Top) < SameHeight * first.Height && Math.Abs(d.Bottom - first.Bottom) < SameHeight * first.Height).OrderBy(d => d.Left).ToList();
            if (row.Count < 2 || Read(row, strip, fit) is not { } found || found.Count <= (best?.Count ?? 1))
                continue;
            best = found;
        }

        return best;
    }

    private static RuleNumerals? Read(List<Digit> row, SteelRuleStrip strip, SpacingFit fit)
    {
        var middles = new List<double>();
        var (left, right) = (row[0].Left, row[0].Right);
        foreach (var d in row.Skip(1))
        {
            if (d.Left - right > DigitGap * d.Height)
            {
                middles.Add(fit.IndexAt(0.5 * (left + right)));
                left = d.Left;
            }

            right = d.Right;
        }

        middles.Add(fit.IndexAt(0.5 * (left + right)));
        if (middles.Count < 2)
            return null;
        var gaps = middles.Skip(1).Zip(middles, (b, a) => b - a).ToArray();
        var pitch = gaps.Order().ElementAt((gaps.Length - 1) / 2);
        var steps = gaps.Select(g => (Gap: g, Steps: Math.Round(g / pitch))).ToArray();
        var good = steps.Count(s => s.Steps >= 1 && Math.Abs((s.Gap / s.Steps) - pitch) < Steady * pitch);
        if (good < 1 || good < 0.55 * gaps.Length)
            return null;
        var fine = steps.Where(s => s.Steps >= 1 && Math.Abs((s.Gap / s.Steps) - pitch) < Steady * pitch).ToArray();
        var mean = fine.Sum(s => s.Gap) / fine.Sum(s => s.Steps);
        return new RuleNumerals(mean, row.Average(d => d.Height) / strip.SpacingPx, good + 1);
    }

    private static List<Digit> Digits(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths)
    {
        var spacing = strip.SpacingPx;
        var sorted = lengths.Lengths.Where(double.IsFinite).Order().ToArray();
        var shortest = sorted[(int)(0.2 * sorted.Length)] * spacing;
        using var dark = new Mat();
        strip.Threshold(dark, (2 * (int)(2 * spacing)) + 1, 8);
        using var labels = new Mat();
        using var stats = new Mat();
        using var centres = new Mat();
        var count = Cv2.ConnectedComponentsWithStats(dark, labels, stats, centres, PixelConnectivity.Connectivity8);
        var digits = new List<Digit>();
        for (var i = 1; i < count; i++)
        {
            var (x, y, w, h) = (stats.At<int>(i, 0), stats.At<int>(i, 1), stats.At<int>(i, 2), stats.At<int>(i, 3));
            if (h < LeastHeight * spacing || h > GreatestHeight * spacing || w > 1.3 * h || w < 0.1 * h)
                continue;
            var middle = x + (w / 2.0);
            if (middle < fit.At(ticks[0].Index) - (4 * spacing) || middle > fit.At(ticks[^1].Index) + (4 * spacing))
                continue;
            var edge = lengths.EdgeAt(middle);
            var (near, far) = lengths.InwardSign > 0 ? (y - edge, y + h - edge) : (edge - y - h, edge - y);

            // What starts near the edge is a graduation.
            if (near > 0.5 * shortest && far < SteelRuleStrip.WholeSpacings * spacing)
                digits.Add(new Digit(x, x + w, near, far));
        }

        return digits.Count > 400 ? [] : digits;
    }
}
