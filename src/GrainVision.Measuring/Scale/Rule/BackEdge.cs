namespace GrainVision.Measuring.Scale.Rule;

/// <summary>Finds how far the rule's body reaches from its graduated edge: the strongest straight step beyond the graduations.</summary>
internal static class BackEdge
{
    /// <summary>8 grey levels, averaged along the whole row: a real edge against the bench.</summary>
    private const double LeastStep = 8;

    /// <summary>Strip px from the graduated edge to the back; where no edge shows, the longest graduation and the room for figures.</summary>
    public static double Find(RuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths, double bodySpacings)
    {
        var spacing = strip.SpacingPx;
        var finite = lengths.Lengths.Where(double.IsFinite).Order().ToArray();
        var longest = finite[(int)(0.95 * (finite.Length - 1))] * spacing;
        var least = longest + (bodySpacings * spacing);
        var from = fit.At(ticks[0].Index);
        var to = fit.At(ticks[^1].Index);
        var profile = Profile(strip, from, to, lengths);
        var window = Math.Max(2, (int)(0.5 * spacing));
        var best = 0.0;
        var at = least;
        for (var d = (int)(longest + (2 * spacing)); d < profile.Length - window - 1; d++)
        {
            if (!double.IsFinite(profile[d + window]))
                break;
            var step = Math.Abs(profile[d + window] - profile[d - window]);
            if (step > best && step >= LeastStep)
            {
                best = step;
                at = d + spacing;
            }
        }

        return Math.Max(at, longest + (2 * spacing));
    }

    /// <summary>Mean brightness along the rule by distance from its edge; NaN beyond the strip.</summary>
    private static double[] Profile(RuleStrip strip, double from, double to, TickLengths lengths)
    {
        const int samples = 200;
        var profile = new double[strip.Height];
        for (var d = 0; d < profile.Length; d++)
        {
            var sum = 0.0;
            var count = 0;
            for (var i = 0; i < samples; i++)
            {
                var u = from + ((to - from) * (i + 0.5) / samples);
                var v = lengths.EdgeAt(u) + (lengths.InwardSign * d);
                if (!strip.Holds(u, v))
                    continue;
                sum += strip.At(u, v);
                count++;
            }

            profile[d] = count > samples / 2 ? sum / count : double.NaN;
        }

        return profile;
    }
}
