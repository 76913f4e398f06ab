namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// Other ways to count the same row: one graduation more or one fewer somewhere along it. Where such a count explains the places of the graduations nearly
/// as well, the count is not sure.
/// </summary>
internal static class CountRivals
{
    /// <summary>A row without gaps is tried at so many places.</summary>
    private const int Places = 7;

    /// <summary>Distances count up to 3 standard deviations: beyond, a graduation is an outlier.</summary>
    private const double Cap = 9;

    /// <summary>20: a rival must be worse by as much, in squares of standard deviations (a likelihood ratio of 22,000).</summary>
    private const double LeastLead = 20;

    /// <summary>0.02 spacings: no rival is thrown out for less than what dirt does to a graduation.</summary>
    private const double LeastSigmaShare = 0.02;

    public static bool Exist(IReadOnlyList<Tick> ticks, SpacingFit fit)
    {
        var sigma = Math.Max(fit.SigmaPx, LeastSigmaShare * fit.SpacingAt(0.5 * (ticks[0].Index + ticks[^1].Index)));
        var own = Cost(ticks, fit, sigma);
        var splits = Enumerable.Range(1, ticks.Count - 1).Where(i => ticks[i].Index - ticks[i - 1].Index > 1)
            .Concat(Enumerable.Range(1, Places).Select(i => i * ticks.Count / (Places + 1))).Where(i => i >= 3 && i <= ticks.Count - 3).Distinct();
        foreach (var split in splits)
        {
            foreach (var slip in (ReadOnlySpan<int>)[-1, 1])
            {
                var moved = ticks.Select((t, i) => i < split ? t : t with { Index = t.Index + slip }).ToList();
                if (moved[split].Index > moved[split - 1].Index && SpacingFit.Fit(moved, fit.Lens) is { } other && Cost(moved, other, sigma) < own + LeastLead)
                    return true;
            }
        }

        return false;
    }

    private static double Cost(IReadOnlyList<Tick> ticks, SpacingFit fit, double sigma)
    {
        var sum = 0.0;
        foreach (var t in ticks)
            sum += Math.Min(Cap, Math.Pow((t.U - fit.At(t.Index)) / sigma, 2));
        return sum;
    }
}
