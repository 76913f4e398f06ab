using GrainVision.Measuring.Numerics;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>Finds how far the rule's body reaches from its graduated edge: the strongest straight step beyond the graduations.</summary>
internal static class BackEdge
{
    /// <summary>0.75: a row of numerals of three digits is more ink than not.</summary>
    private const double GroundQuantile = 0.75;

    /// <summary>8 grey levels, the ground along the whole row: a real edge against the bench.</summary>
    private const double LeastStep = 8;

    /// <summary>Strip px from the graduated edge to the back; where no edge shows, the longest graduation and the room for figures.</summary>
    public static double Find(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths, double bodySpacings)
    {
        var spacing = strip.SpacingPx;
        var longest = Longest(lengths) * spacing;
        var back = Strongest(strip, ticks, fit, lengths, longest);
        return Math.Max(back + spacing ?? longest + (bodySpacings * spacing), longest + (2 * spacing));
    }

    /// <summary>Width of the rule in spacings; null where its back does not show: then nothing is known of it.</summary>
    public static double? WidthSpacings(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths) =>
        Strongest(strip, ticks, fit, lengths, Longest(lengths) * strip.SpacingPx) / fit.SpacingAt(0.5 * (ticks[0].Index + ticks[^1].Index));

    private static double Longest(TickLengths lengths)
    {
        var finite = lengths.Lengths.Where(double.IsFinite).Order().ToArray();
        return finite[(int)(0.95 * (finite.Length - 1))];
    }

    /// <summary>Strip px from the graduated edge to the strongest straight step beyond the graduations.</summary>
    private static double? Strongest(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths, double longest)
    {
        var spacing = strip.SpacingPx;
        var from = fit.At(ticks[0].Index);
        var to = fit.At(ticks[^1].Index);
        var profile = Profile(strip, from, to, lengths);
        var window = Math.Max(2, (int)(0.5 * spacing));
        var best = 0.0;
        double? at = null;
        for (var d = (int)(longest + (2 * spacing)); d < profile.Length - window - 1; d++)
        {
            if (!double.IsFinite(profile[d + window]))
                break;
            var step = Math.Abs(profile[d + window] - profile[d - window]);
            if (step > best && step >= LeastStep)
            {
                best = step;
                at = d;
            }
        }

        return at;
    }

    /// <summary>Brightness of the ground along the rule by distance from its edge, which numerals do not move; NaN beyond the strip.</summary>
    private static double[] Profile(SteelRuleStrip strip, double from, double to, TickLengths lengths)
    {
        const int samples = 200;
        var profile = new double[strip.Height];
        Span<float> seen = stackalloc float[samples];
        for (var d = 0; d < profile.Length; d++)
        {
            var count = 0;
            for (var i = 0; i < samples; i++)
            {
                var u = from + ((to - from) * (i + 0.5) / samples);
                var v = lengths.EdgeAt(u) + (lengths.InwardSign * d);
                if (!strip.Holds(u, v))
                    continue;
                seen[count++] = strip.At(u, v);
            }

            seen[..count].Sort();
            profile[d] = count > samples / 2 ? seen[(int)(GroundQuantile * (count - 1))] : double.NaN;
        }

        return profile;
    }
}
