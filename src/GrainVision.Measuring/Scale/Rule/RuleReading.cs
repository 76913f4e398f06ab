using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Scale.Rule;

/// <summary>What became of a row that looked like graduations.</summary>
internal enum RuleStanding
{
    /// <summary>Evenly spaced, straight-edged, and the order of lengths is known.</summary>
    Sure,

    /// <summary>A rule, but its unit or step is not sure.</summary>
    Doubtful,

    /// <summary>Like a rule, but with too few graduations.</summary>
    TooShort,
}

/// <summary>A row of graduations that was read. All positions are photo pixels.</summary>
/// <param name="Standing">Whether it can be used.</param>
/// <param name="Ticks">The graduations used, in order.</param>
/// <param name="Verdict">What their lengths say; null where there are too few.</param>
/// <param name="PixelsPerMm">In the middle of the row; 0 unless <see cref="RuleStanding.Sure"/>.</param>
/// <param name="Geometry">The fit and edge, for the scale and the picture.</param>
internal sealed record RuleReading(
    RuleStanding Standing, IReadOnlyList<Tick> Ticks, GraduationVerdict? Verdict, double PixelsPerMm, RuleGeometry Geometry)
{
    /// <summary>15: fewer cannot show an order of lengths, and wood shows as many evenly spaced lines now and then.</summary>
    private const int LeastTicks = 15;

    /// <summary>8 to 14 clean graduations are worth telling the sender about.</summary>
    private const int LeastNoticed = 8;

    /// <summary>One graduation in five may be hidden by glare or dirt.</summary>
    private const double LeastSeenShare = 0.8;

    /// <summary>2.5 % of a spacing: engraved graduations scatter by less than 1 %, growth rings by 15 % and more.</summary>
    private const double GreatestScatterShare = 0.025;

    /// <summary>0.12 px: what blur, noise and demosaicing do to a graduation's place however coarse the spacing.</summary>
    private const double GreatestScatterPx = 0.12;

    /// <summary>Starts lie within half a spacing of a straight edge, nine of ten.</summary>
    private const double GreatestEdgeScatter = 0.5;

    /// <summary>Seven of ten lengths must be readable.</summary>
    private const double LeastLengthShare = 0.7;

    /// <summary>Reads a row; null where it is no rule.</summary>
    public static RuleReading? Read(GrayPyramid pyramid, TickBand band, RuleUnit? asked)
    {
        using var strip = RuleStrip.Cut(pyramid, band);
        if (strip is null)
            return null;
        var ticks = TickTracker.Find(strip);
        if (ticks.Count < LeastNoticed || SpacingFit.Fit(ticks) is not { } fit)
            return null;
        var spacing = fit.SpacingAt(0.5 * (ticks[0].Index + ticks[^1].Index));
        var span = ticks[^1].Index - ticks[0].Index + 1;
        if (fit.Residual > Math.Max(GreatestScatterShare * spacing, GreatestScatterPx)
            || fit.Outliers > 0.1 * ticks.Count
            || ticks.Count < LeastSeenShare * span
            || FoldedPeriod.HasFinerTicks(strip, ticks, fit))
        {
            return null;
        }

        if (TickLengths.Measure(strip, ticks, fit) is not { } lengths || lengths.EdgeScatter > GreatestEdgeScatter)
            return null;
        return Judge(strip, ticks, fit, lengths, asked);
    }

    private static RuleReading? Judge(RuleStrip strip, List<Tick> ticks, SpacingFit fit, TickLengths lengths, RuleUnit? asked)
    {
        var readable = lengths.Lengths.Count(double.IsFinite);
        if (readable < LeastLengthShare * ticks.Count)
            return null;
        var geometry = RuleGeometry.From(strip, ticks, fit, lengths);
        var verdict = GraduationJudge.Judge(ticks.ConvertAll(t => t.Index), lengths.Lengths, asked);
        if (!verdict.IsOrdered)
            return null;
        if (ticks.Count < LeastTicks)
            return new RuleReading(RuleStanding.TooShort, ticks, verdict, 0, geometry);
        if (!verdict.Best.IsReadable || verdict.Probability < RuleReader.LeastProbability)
            return new RuleReading(RuleStanding.Doubtful, ticks, verdict, 0, geometry);
        var middle = 0.5 * (ticks[0].Index + ticks[^1].Index);
        return new RuleReading(RuleStanding.Sure, ticks, verdict, geometry.SpacingPhotoPx(middle) / verdict.Best.StepMm, geometry);
    }
}
