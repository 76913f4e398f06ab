namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// How long each graduation is, in spacings, from the straight edge at which all of them start.
/// </summary>
/// <param name="Lengths">One for each tick, spacings; NaN where a tick's end cannot be told.</param>
/// <param name="Cut">How many of them the picture cuts off.</param>
/// <param name="EdgeScatter">How far the starts leave a straight line, spacings: half the range of the middle seven tenths.</param>
/// <param name="EdgeV">Row of the edge at strip column 0, but for the bow.</param>
/// <param name="EdgeSlope">Rows per column of the edge.</param>
/// <param name="InwardSign">+1 where graduations run to greater v, else -1.</param>
/// <param name="Shear">How the graduations lean.</param>
/// <param name="Fit">Gives the bow of the edge through the lens.</param>
internal sealed record TickLengths(
    double[] Lengths, int Cut, double EdgeScatter, double EdgeV, double EdgeSlope, int InwardSign, TickShear Shear, SpacingFit Fit)
{
    /// <summary>A tick ends where its contrast falls below this share of what it has in the middle of the row.</summary>
    private const double EndShare = 0.45;

    /// <summary>A gap in a tick of up to a fifth of a spacing is dirt or a scratch; a wider one parts it from the figure below.</summary>
    private const double BridgedSpacings = 0.2;

    /// <summary>Half of it against the gaps beside.</summary>
    private const double BesideShare = 0.5;

    /// <summary>Fewer ends than this make no line.</summary>
    private const int LeastEnds = 8;

    public double EdgeAt(double u) => EdgeV + (EdgeSlope * u) + Fit.BowAt(u);

    public static TickLengths? Measure(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit)
    {
        var shear = TickShear.Measure(strip, ticks, fit);
        var profiles = ticks.Select(t => TickProfile.Read(strip, fit.At(t.Index), fit.SpacingAt(t.Index), shear)).ToArray();
        var up = new double[ticks.Count];
        var down = new double[ticks.Count];
        for (var i = 0; i < ticks.Count; i++)
        {
            var bow = fit.BowAt(fit.At(ticks[i].Index));
            var (contrast, spacing) = (profiles[i].AgainstNeighbours(), fit.SpacingAt(ticks[i].Index));
            (up[i], down[i]) = (End(contrast, contrast, strip.MiddleV + bow, -1, spacing) - bow, End(contrast, contrast, strip.MiddleV + bow, 1, spacing) - bow);
        }

        var u = ticks.Select(t => fit.At(t.Index)).ToArray();
        if (up.Count(double.IsFinite) < LeastEnds || down.Count(double.IsFinite) < LeastEnds
            || MedianLine.Fit(u, up) is not { } upper || MedianLine.Fit(u, down) is not { } lower)
        {
            return null;
        }

        var middle = fit.SpacingAt(0.5 * (ticks[0].Index + ticks[^1].Index));

        // All start at the edge; at the other side the long ones stand out, be they few. No more than 3 spacings each: dirt.
        var edgeIsUp = upper.MeanDistance(u, up, 3 * middle) <= lower.MeanDistance(u, down, 3 * middle);
        var edge = edgeIsUp ? upper : lower;
        var sign = edgeIsUp ? 1 : -1;
        var lengths = new double[ticks.Count];
        var cut = 0;
        for (var i = 0; i < lengths.Length; i++)
        {
            var (bow, spacing) = (fit.BowAt(u[i]), fit.SpacingAt(ticks[i].Index));
            var (ground, beside) = (TickProfile.AgainstGround(profiles, i), profiles[i].AgainstNeighbours());
            lengths[i] = sign * (End(ground, beside, strip.MiddleV + bow, sign, spacing) - bow - edge.At(u[i])) / spacing;
            cut += double.IsNaN(lengths[i]) && double.IsNaN(ground[^1]) | double.IsNaN(ground[0]) ? 1 : 0;
        }

        // At its ends the rule's own edge shows as a line.
        lengths[0] = lengths[^1] = double.NaN;
        return new TickLengths(lengths, cut, edge.Scatter(u, edgeIsUp ? up : down) / middle, edge.Offset, edge.Slope, sign, shear, fit);
    }

    /// <summary>Where the contrast ends on one side of the middle; NaN where the tick is too faint or leaves the picture.</summary>
    private static double End(double[] ground, double[] beside, double middle, int sign, double spacing)
    {
        var m = (int)Math.Round(middle);
        var near = Math.Max(1, (int)(0.5 * spacing));
        var around = new double[(2 * near) + 1];
        Array.Copy(ground, m - near, around, 0, around.Length);
        Array.Sort(around);
        var reference = around[around.Length / 2];
        return reference > 1 ? End(ground, beside, m, sign, EndShare * reference, Math.Max(1, (int)(BridgedSpacings * spacing))) : double.NaN;
    }

    /// <summary>Goes on while it is dark, and ends where it was last darker than the gaps too: what is dark with its gaps is a numeral over it.</summary>
    private static double End(double[] ground, double[] beside, int from, int sign, double least, int bridged)
    {
        var (last, dark) = (from, from);
        for (var v = from; v >= 0 && v < ground.Length && Math.Abs(v - dark) <= bridged; v += sign)
        {
            // It goes on outside the picture.
            if (double.IsNaN(ground[v]))
                return double.NaN;
            if (ground[v] < least)
                continue;
            dark = v;
            if (beside[v] >= BesideShare * least)
                last = v;
        }

        var next = last + sign;
        if (next < 0 || next >= ground.Length || last == from)
            return double.NaN;
        var drop = ground[last] - ground[next];
        return last + (sign * (drop > 0 ? Math.Clamp((ground[last] - least) / drop, 0, 1) : 0));
    }
}
