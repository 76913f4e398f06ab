namespace GrainVision.Measuring.Scale.Rule;

/// <summary>
/// Lays all spacings of a row over each other. Dark lines between the counted ones mean that the row was counted by its
/// half, fifth or tenth marks: the finer graduations are there and must be counted instead.
/// </summary>
internal static class FoldedPeriod
{
    private const int Bins = 60;

    /// <summary>A line between the ticks a fifth as deep as they are is a graduation.</summary>
    private const double FinerShare = 0.2;

    /// <summary>Below 8 photo px blur leaves no room between the ticks; a finer row would have been found by itself.</summary>
    private const double LeastSpacingPx = 8;

    public static bool HasFinerTicks(RuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit)
    {
        if (strip.SpacingPx * strip.PhotoPxPerStripPx < LeastSpacingPx)
            return false;
        var folded = Fold(strip, ticks, fit);
        var main = 0.0;
        var finer = 0.0;

        // A tenth of a spacing to both sides, so that ticks of fifths and tenths are seen against their own gaps.
        const int side = Bins / 20;
        for (var i = 0; i < Bins; i++)
        {
            var depth = (0.5 * (folded[(i + Bins - side) % Bins] + folded[(i + side) % Bins])) - folded[i];
            var isMain = i <= Bins / 8 || i >= Bins - (Bins / 8);
            if (isMain)
                main = Math.Max(main, Math.Max(depth, (0.5 * (folded[Bins / 4] + folded[3 * Bins / 4])) - folded[i]));
            else
                finer = Math.Max(finer, depth);
        }

        return finer > FinerShare * main;
    }

    private static double[] Fold(RuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit)
    {
        var sums = new double[Bins];
        var counts = new int[Bins];
        var half = Math.Max(1, (int)Math.Round(0.5 * strip.SpacingPx));
        var from = (int)Math.Max(0, Math.Ceiling(fit.At(ticks[0].Index)));
        var to = (int)Math.Min(strip.Width - 1, fit.At(ticks[^1].Index));
        var middle = (int)strip.MiddleV;
        for (var u = from; u <= to; u++)
        {
            var phase = fit.IndexAt(u);
            var bin = (int)Math.Floor(((phase - Math.Floor(phase)) * Bins) + 0.5) % Bins;
            for (var v = middle - half; v <= middle + half; v++)
                sums[bin] += strip.Row(v)[u];
            counts[bin] += (2 * half) + 1;
        }

        // Spacings of few whole pixels leave bins empty: the neighbours fill them.
        var folded = new double[Bins];
        for (var i = 0; i < Bins; i++)
        {
            double sum = 0, count = 0;
            for (var reach = 0; count == 0 && reach < Bins / 2; reach++)
            {
                foreach (var j in (ReadOnlySpan<int>)[(i + reach) % Bins, (i + Bins - reach) % Bins])
                {
                    sum += sums[j];
                    count += counts[j];
                }
            }

            folded[i] = count > 0 ? sum / count : 0;
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
