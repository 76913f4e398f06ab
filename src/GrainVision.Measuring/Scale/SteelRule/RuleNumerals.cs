using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// The numerals of a rule as a witness that is not its graduations: how many graduations from one to the next, and how high they are. Their digits are not
/// read: at every place of the pitch there is ink between the graduations, and half way to the next there is none.
/// </summary>
/// <param name="Pitch">Graduations from one numeral to the next, as measured.</param>
/// <param name="HeightSpacings">Height of a digit in spacings.</param>
/// <param name="Count">How many numerals stand at that pitch.</param>
internal sealed record RuleNumerals(double Pitch, double HeightSpacings, int Count)
{
    /// <summary>Heights of the bands looked through, spacings: 2 mm on a rule of tenths of an inch to 5 mm on one of sixty-fourths.</summary>
    private static readonly double[] Heights = [0.75, 1.25, 2, 3, 4.5, 6.5, 9];

    /// <summary>Pitches tried, graduations: those of common rules and what lies between, so that a strange one is known as strange.</summary>
    private static readonly double[] Pitches = [5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 20, 22, Units.MmPerInch, 28, 30, 32, 36, 40, 45, 2 * Units.MmPerInch, 57, 64, 72];

    /// <summary>A single numeral is at least so high: anything is as high as a spacing.</summary>
    private const double LeastSingle = 2;

    /// <summary>Gaps without ink to both sides of a single numeral.</summary>
    private const int ClearAround = 2;

    /// <summary>A gap holds ink where a fifth of the band's height does.</summary>
    private const double LeastFill = 0.2;

    /// <summary>13 spacings: 5 mm on a rule of sixty-fourths.</summary>
    private const double GreatestHeight = 13;

    /// <summary>8, natural logarithm: how much likelier numerals at a pitch must make the ink than ink anywhere.</summary>
    private const double LeastGain = 8;

    /// <summary>Another pitch must explain the ink of the same band less than so well.</summary>
    private const double RivalShare = 0.85;

    /// <summary>All numerals of a row together are at least so broad for their height: graduations that lean into the gap are not.</summary>
    private const double LeastBreadth = 0.35;

    /// <summary>Where a single numeral stands (its first and last gap) and how far the row shows to both sides of it, graduations; null for two and more.</summary>
    public (double From, double To, double First, double Last)? Alone { get; init; }

    /// <summary>A numeral of that height is at most so broad: two digits.</summary>
    private const double GreatestBreadth = 2.2;

    /// <summary>Numerals may stand so many graduations apart: they do, or the only one shows no other where that would.</summary>
    public bool MayBeAt(double graduations) => Alone is { } a
        ? a.From - graduations - Room < a.First && a.To + graduations + Room > a.Last
        : IsAt(graduations);

    /// <summary>True where the only numeral stands at a graduation, and half as far as the next would be, to one side at least, there is none.</summary>
    public bool IsTheOnlyOneAt(int index, double graduations) => Alone is { } a
        && index >= a.From - HeightSpacings && index <= a.To + HeightSpacings
        && (a.From - (0.5 * graduations) - Room >= a.First || a.To + (0.5 * graduations) + Room <= a.Last);

    /// <summary>Graduations by which a numeral may stand otherwise beside its graduation than the one seen.</summary>
    private double Room => 0.5 * HeightSpacings;

    /// <summary>True where the numbers stand so many graduations apart.</summary>
    public bool IsAt(double graduations) => Math.Abs(Math.Log(Pitch / graduations)) < (Count > 3 ? PitchWithin : 2 * PitchWithin);

    /// <summary>4 %: a numeral stands somewhat beside its graduation.</summary>
    private const double PitchWithin = 0.04;

    /// <summary>Looks beyond the edge's first spacing; null where no evenly spaced numbers show.</summary>
    public static RuleNumerals? Find(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths)
    {
        var ink = NumeralInk.Read(strip, ticks, fit, lengths);
        var sorted = lengths.Lengths.Where(double.IsFinite).Order().ToArray();
        var shortest = sorted[(int)(0.2 * sorted.Length)];
        (RuleNumerals? Found, double Gain) best = (null, LeastGain);
        foreach (var height in Heights)
        {
            for (var from = Math.Max(0.5, 0.6 * shortest); from + height <= SteelRuleStrip.WholeSpacings; from += Math.Max(0.25, 0.25 * height))
            {
                var band = Fill(ink, (int)(from * NumeralInk.PerSpacing), (int)Math.Ceiling((from + height) * NumeralInk.PerSpacing));
                var combs = Pitches.Select(pitch => NumeralComb.Best(band, pitch)).OfType<NumeralComb>().Where(c => c.Arc >= LeastBreadth * height).ToList();
                if (combs.Count == 0)
                    continue;
                var comb = combs.MaxBy(c => c.Gain)!;
                if (comb.Gain <= best.Gain || combs.Exists(c => Math.Abs(Math.Log(c.Pitch / comb.Pitch)) > 3 * PitchWithin && c.Gain > RivalShare * comb.Gain))
                    continue;
                var high = Height(ink, band, comb, from, height);
                if (high >= 0.6 * height && high <= GreatestHeight && comb.Arc >= LeastBreadth * high && comb.Measure(band) is { } measured)
                    best = (new RuleNumerals(measured, high, comb.Count), comb.Gain);
            }
        }

        return best.Found ?? Single(ink, shortest);
    }

    /// <summary>One numeral and no other ink in its band; of the bands that show it the highest.</summary>
    private static RuleNumerals? Single(NumeralInk ink, double shortest)
    {
        foreach (var height in Heights.Reverse().Where(h => h >= LeastSingle))
        {
            for (var from = Math.Max(0.5, shortest); from + height <= GreatestHeight + shortest; from += Math.Max(0.25, 0.25 * height))
            {
                var band = Fill(ink, (int)(from * NumeralInk.PerSpacing), (int)Math.Ceiling((from + height) * NumeralInk.PerSpacing));
                var (first, last) = (Array.IndexOf(band, 1), Array.LastIndexOf(band, 1));
                if (first < 0 || last - first + 1 > GreatestBreadth * height || last - first + 1 < LeastBreadth * height)
                    continue;
                var (seenFrom, seenTo) = (first, last);
                while (seenFrom > 0 && band[seenFrom - 1] == 0)
                    seenFrom--;
                while (seenTo < band.Length - 1 && band[seenTo + 1] == 0)
                    seenTo++;

                // What reaches to where the row ends may be its end.
                if (first - seenFrom < ClearAround || seenTo - last < ClearAround || band[first..(last + 1)].Count(b => b > 0) < 0.5 * (last - first + 1))
                    continue;
                var high = Enumerable.Range(0, ink.Rows).Count(row => row >= shortest * NumeralInk.PerSpacing && Enumerable.Range(first, last - first + 1).Any(g => ink.At(g, row) > 0)) / (double)NumeralInk.PerSpacing;
                if (high is >= LeastSingle and <= GreatestHeight && last - first + 1 <= GreatestBreadth * high && last - first + 1 >= LeastBreadth * high)
                    return new RuleNumerals(double.NaN, high, 1) { Alone = (ink.FirstGap + first, ink.FirstGap + last + 1, ink.FirstGap + seenFrom, ink.FirstGap + seenTo + 1) };
            }
        }

        return null;
    }

    /// <summary>Of each gap: 1 with ink in the band, 0 without, -1 unseen.</summary>
    private static int[] Fill(NumeralInk ink, int fromRow, int toRow)
    {
        var fill = new int[ink.Gaps];
        for (var g = 0; g < fill.Length; g++)
        {
            int seen = 0, inked = 0;
            for (var row = fromRow; row < toRow; row++)
            {
                seen += ink.At(g, row) >= 0 ? 1 : 0;
                inked += ink.At(g, row) > 0 ? 1 : 0;
            }

            fill[g] = 2 * seen < toRow - fromRow ? -1 : inked >= Math.Max(1, LeastFill * seen) ? 1 : 0;
        }

        return fill;
    }

    /// <summary>A row of the digits holds ink at four numerals of ten.</summary>
    private const double LeastInked = 0.4;

    /// <summary>Rows that hold ink at enough of the numerals, spacings.</summary>
    private static double Height(NumeralInk ink, int[] band, NumeralComb comb, double from, double height)
    {
        int Inked(int row)
        {
            var hits = 0;
            for (var start = comb.Start - comb.Pitch; start < band.Length; start += comb.Pitch)
            {
                for (var i = 0; i < comb.Arc; i++)
                {
                    var g = (int)Math.Floor(start + i);
                    if (g >= 0 && g < band.Length && ink.At(g, row) > 0)
                    {
                        hits++;
                        break;
                    }
                }
            }

            return hits;
        }

        var least = LeastInked * comb.Count;
        var first = (int)(from * NumeralInk.PerSpacing);
        var middle = Enumerable.Range(first, Math.Min(ink.Rows - first, (int)(height * NumeralInk.PerSpacing))).MaxBy(Inked);
        var (top, bottom) = (middle, middle);
        while (top > 1 && (Inked(top - 1) >= least || Inked(top - 2) >= least))
            top--;
        while (bottom < ink.Rows - 2 && (Inked(bottom + 1) >= least || Inked(bottom + 2) >= least))
            bottom++;
        return (bottom - top + 1) / (double)NumeralInk.PerSpacing;
    }
}
