
namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>A row whose dark lines were counted and found evenly spaced, as in perspective. Not yet a rule.</summary>
/// <param name="Band">Where it lies.</param>
/// <param name="Ticks">Its lines in order.</param>
/// <param name="Fit">Their spacing.</param>
/// <param name="IsInverted">True where the lines are bright on dark.</param>
internal sealed record EvenRow(TickBand Band, IReadOnlyList<Tick> Ticks, SpacingFit Fit, bool IsInverted)
{
    /// <summary>The first and the last line, photo px along the band from its middle.</summary>
    public (double FromPx, double ToPx) Reach { get; private init; }

    /// <summary>8 clean graduations are too few to use, but worth telling the sender about.</summary>
    private const int LeastTicks = 8;

    /// <summary>At both ends five lines follow each other with one missing at most.</summary>
    private const int EndTicks = 5;

    /// <summary>One graduation in five may be hidden by glare or dirt.</summary>
    private const double LeastSeenShare = 0.8;

    /// <summary>1.5 % of a spacing: engraved graduations scatter by less than 1 %, growth rings by 15 % and more.</summary>
    private const double GreatestScatterShare = 0.015;

    /// <summary>0.17 photo px: what blur, noise and demosaicing do to a graduation's place however fine the spacing.</summary>
    private const double GreatestScatterPx = 0.17;

    /// <summary>Counts and fits; null where the lines are not even, as in wood.</summary>
    /// <param name="pyramid">The photo.</param>
    /// <param name="band">Where to count.</param>
    /// <param name="inverted">Whether the lines are bright on dark; null to tell by what is narrower.</param>
    public static EvenRow? Read(GrayPyramid pyramid, TickBand band, bool? inverted = null)
    {
        using var strip = SteelRuleStrip.Cut(pyramid, band, SteelRuleStrip.NarrowSpacings);
        if (strip is null)
            return null;
        var ticks = TickLocalizer.Find(strip, inverted);
        if (ticks.Count < LeastTicks || SpacingFit.Fit(ticks, strip.Lens) is not { } all)
            return null;
        ticks = Trim(ticks, all);
        if (ticks.Count < LeastTicks || SpacingFit.Fit(ticks, strip.Lens) is not { } fit)
            return null;
        var spacing = fit.SpacingAt(0.5 * (ticks[0].Index + ticks[^1].Index));
        var span = ticks[^1].Index - ticks[0].Index + 1;
        return fit.Residual <= Math.Max(GreatestScatterShare * spacing, GreatestScatterPx / Math.Min(1, strip.PhotoPxPerStripPx))
            && fit.Outliers <= 0.1 * ticks.Count
            && ticks.Count >= LeastSeenShare * span
            ? new EvenRow(band, ticks, fit, strip.IsInverted) { Reach = (PhotoPx(ticks[0]), PhotoPx(ticks[^1])) }
            : null;

        double PhotoPx(Tick tick) => (tick.U - strip.StartU) * strip.PhotoPxPerStripPx;
    }

    /// <summary>Takes lines off both ends until the outermost five stand closely and in step: past a rule's end the wood offers dark lines too.</summary>
    private static List<Tick> Trim(List<Tick> ticks, SpacingFit fit)
    {
        var reach = Math.Max(4 * fit.Residual, 0.06 * fit.SpacingAt(0.5 * (ticks[0].Index + ticks[^1].Index)));
        var good = ticks.Where(t => Math.Abs(t.U - fit.At(t.Index)) <= reach).ToList();
        int from = 0, to = good.Count - 1;
        while (to - from >= EndTicks && good[from + EndTicks - 1].Index - good[from].Index > EndTicks)
            from++;
        while (to - from >= EndTicks && good[to].Index - good[to - EndTicks + 1].Index > EndTicks)
            to--;
        return good.GetRange(from, to - from + 1);
    }
}
