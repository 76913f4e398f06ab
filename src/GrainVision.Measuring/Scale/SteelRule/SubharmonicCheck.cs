namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// Lays all spacings of a row over each other. Dark lines between the counted ones mean that the row was counted by its
/// half, fifth or tenth marks: the finer graduations are there and must be counted instead.
/// </summary>
internal static class SubharmonicCheck
{
    private const int Bins = 60;

    /// <summary>A line between the ticks a fifth as deep as they are is a graduation.</summary>
    private const double FinerShare = 0.2;

    /// <summary>Below 8 photo px blur leaves no room between the ticks; a finer row would have been found by itself.</summary>
    private const double LeastSpacingPx = 8;

    public static bool HasFinerTicks(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit)
    {
        if (strip.SpacingPx * strip.PhotoPxPerStripPx < LeastSpacingPx)
            return false;
        var (main, finer) = Depths(Fold(strip, ticks, fit, 0));
        return finer > FinerShare * main;
    }

    /// <summary>
    /// A row that runs beyond the ends of the finer graduations, among the long ones only, takes the line of those ends for its edge. The finer ones then show
    /// outside of it, where a rule has nothing.
    /// </summary>
    public static bool HasFinerTicksOutside(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths)
    {
        if (strip.SpacingPx * strip.PhotoPxPerStripPx < LeastSpacingPx)
            return false;
        var (main, _) = Depths(Fold(strip, ticks, fit, 0));
        var edge = lengths.EdgeAt(strip.StartU) - strip.MiddleV;
        foreach (var spacings in (ReadOnlySpan<double>)[0.3, 0.7, 1.3])
        {
            var (_, finer) = Depths(Fold(strip, ticks, fit, edge - (lengths.InwardSign * spacings * strip.SpacingPx)));
            if (finer > FinerShare * main)
                return true;
        }

        return false;
    }

    private static (double Main, double Finer) Depths(double[] folded)
    {
        var gaps = 0.5 * (folded[Bins / 4] + folded[3 * Bins / 4]);
        double main = 0, finer = 0;
        for (var i = 0; i < Bins; i++)
        {
            var away = Math.Min(i, Bins - i);

            // A twentieth of a spacing to both sides, so that fifths and tenths are seen against their own gaps; farther where there is room, for lines
            // that blur has widened.
            foreach (var (side, least) in (ReadOnlySpan<(int, int)>)[(Bins / 20, Bins / 8), (Bins / 8, Bins / 5), (Bins / 5, 3 * Bins / 10)])
            {
                if (away > least)
                    finer = Math.Max(finer, (0.5 * (folded[(i + Bins - side) % Bins] + folded[(i + side) % Bins])) - folded[i]);
            }

            if (away <= Bins / 8)
                main = Math.Max(main, gaps - folded[i]);
        }

        return (main, finer);
    }

    /// <summary>The median over all spacings at each phase: a line that is there in every spacing stays, texture and dirt do not.</summary>
    private static double[] Fold(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, double offset)
    {
        var half = Math.Max(1, (int)Math.Round((offset == 0 ? 0.5 : 0.25) * strip.SpacingPx));
        var middle = (int)(strip.MiddleV + offset);
        var folded = new double[Bins];
        var (first, last) = (ticks[0].Index, ticks[^1].Index);
        if (middle < half || middle + half >= strip.Height || last - first < 3)
            return folded;
        var seen = new float[last - first];
        for (var b = 0; b < Bins; b++)
        {
            var count = 0;
            for (var k = first; k < last; k++)
            {
                var u = fit.At(k + (b / (double)Bins));
                if (!strip.Holds(u, middle))
                    continue;
                var sum = 0f;
                for (var v = middle - half; v <= middle + half; v++)
                    sum += strip.At(u, v);
                seen[count++] = sum / ((2 * half) + 1);
            }

            Array.Sort(seen, 0, count);
            folded[b] = count > 0 ? seen[count / 2] : 0;
        }

        return Smooth(folded);
    }

    private static double[] Smooth(double[] folded)
    {
        var smooth = new double[Bins];
        for (var i = 0; i < Bins; i++)
            smooth[i] = (folded[(i + Bins - 1) % Bins] + folded[i] + folded[(i + 1) % Bins]) / 3;
        return smooth;
    }
}
