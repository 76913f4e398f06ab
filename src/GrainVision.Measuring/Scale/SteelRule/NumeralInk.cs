namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// Where ink stands in the gaps between the graduations, by gap and by distance from the edge: numerals fill gaps, graduations never do, whatever their
/// length and whether numerals touch them.
/// </summary>
internal sealed class NumeralInk
{
    /// <summary>Rows per spacing.</summary>
    public const int PerSpacing = 4;

    /// <summary>A stroke is at least half as dark against the ground as the graduations are.</summary>
    private const double LeastInk = 0.45;

    /// <summary>Gaps to both sides that tell the ground.</summary>
    private const int GroundGaps = 24;
    private const double GroundQuantile = 0.75;

    /// <summary>2.2 photo px: blur darkens the gap so near to a graduation.</summary>
    private const double ClearOfTicksPx = 2.2;

    /// <summary>Spacings: beyond a graduation's end by as much its own place counts as a gap, where a narrow numeral stands over it.</summary>
    private const double ClearOfEnd = 0.6;

    private readonly sbyte[] _ink;

    private NumeralInk(int firstGap, int gaps, int rows, sbyte[] ink)
    {
        FirstGap = firstGap;
        Gaps = gaps;
        Rows = rows;
        _ink = ink;
    }

    /// <summary>Number of the graduation before the first gap.</summary>
    public int FirstGap { get; }

    public int Gaps { get; }

    public int Rows { get; }

    /// <summary>1 for ink, 0 for none, -1 where the picture does not show it.</summary>
    public int At(int gap, int row) => _ink[(row * Gaps) + gap];

    public static NumeralInk Read(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths)
    {
        var first = ticks[0].Index;
        var gaps = ticks[^1].Index - first;
        var rows = (int)(SteelRuleStrip.WholeSpacings * PerSpacing);
        var seen = new float[gaps * rows];
        var reach = Math.Clamp(0.5 - (ClearOfTicksPx / (strip.SpacingPx * strip.PhotoPxPerStripPx)), 0, 0.25);
        var ends = ticks.Zip(lengths.Lengths, (t, l) => (t.Index, End: double.IsFinite(l) ? l + ClearOfEnd : double.PositiveInfinity)).ToDictionary(t => t.Index, t => t.End);
        for (var g = 0; g < gaps; g++)
        {
            var spacing = fit.SpacingAt(first + g + 0.5);
            var end = ends.GetValueOrDefault(first + g, double.PositiveInfinity);
            for (var row = 0; row < rows; row++)
                seen[(row * gaps) + g] = Darkest(strip, fit, lengths, first + g + 0.5, reach, (row + 0.5) * spacing / PerSpacing, (row + 0.5) / PerSpacing > end);
        }

        var ink = new sbyte[seen.Length];
        var depth = TickDepth(strip, ticks, fit, lengths);
        var around = new float[(2 * GroundGaps) + 1];
        for (var row = 0; row < rows; row++)
        {
            var line = seen.AsSpan(row * gaps, gaps);
            for (var g = 0; g < gaps; g++)
            {
                var count = 0;
                for (var i = Math.Max(0, g - GroundGaps); i <= Math.Min(gaps - 1, g + GroundGaps); i++)
                {
                    if (!float.IsNaN(line[i]))
                        around[count++] = line[i];
                }

                Array.Sort(around, 0, count);
                ink[(row * gaps) + g] = float.IsNaN(line[g]) ? (sbyte)-1 : around[(int)(GroundQuantile * (count - 1))] - line[g] > LeastInk * depth ? (sbyte)1 : (sbyte)0;
            }
        }

        return new NumeralInk(first, gaps, rows, ink);
    }

    /// <summary>Brightness of the darkest place of a gap at a distance from the edge, clear of the graduations beside it; the one before it counts beyond its end.</summary>
    private static float Darkest(SteelRuleStrip strip, SpacingFit fit, TickLengths lengths, double index, double reach, double away, bool isBeyondTick)
    {
        var darkest = float.NaN;
        foreach (var step in (ReadOnlySpan<double>)[-1, -0.5, 0, 0.5, 1, 2])
        {
            if (step > 1 && !isBeyondTick)
                break;
            var foot = fit.At(step > 1 ? index - 0.5 : index + (step * reach));
            var v = lengths.EdgeAt(foot) + (lengths.InwardSign * away);
            var u = foot + (lengths.Shear.At(foot) * (v - strip.MiddleV));
            if (!strip.Shows(u, v))
                return float.NaN;
            var b = strip.At(u, v);
            darkest = float.IsNaN(darkest) ? b : Math.Min(darkest, b);
        }

        return darkest;
    }

    /// <summary>Grey levels between the graduations and their gaps, median.</summary>
    private static double TickDepth(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths)
    {
        var depths = ticks.Select(t =>
        {
            var u = fit.At(t.Index);
            var v = strip.MiddleV + fit.BowAt(u);
            var half = 0.5 * fit.SpacingAt(t.Index);
            return (0.5 * (strip.At(u - half, v) + strip.At(u + half, v))) - strip.At(u, v);
        }).Order().ToArray();
        return Math.Max(4, depths[depths.Length / 2]);
    }
}
