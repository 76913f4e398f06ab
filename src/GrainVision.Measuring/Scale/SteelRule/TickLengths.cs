namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// How long each graduation is, in spacings, from the straight edge at which all of them start.
/// </summary>
/// <param name="Lengths">One for each tick, spacings; NaN where a tick's end cannot be told.</param>
/// <param name="EdgeScatter">How far the starts leave a straight line, spacings: half the range of the middle seven tenths.</param>
/// <param name="EdgeV">Row of the edge at strip column 0, but for the bow.</param>
/// <param name="EdgeSlope">Rows per column of the edge.</param>
/// <param name="InwardSign">+1 where graduations run to greater v, else -1.</param>
/// <param name="Shear">How the graduations lean.</param>
/// <param name="Fit">Gives the bow of the edge through the lens.</param>
internal sealed record TickLengths(
    double[] Lengths, double EdgeScatter, double EdgeV, double EdgeSlope, int InwardSign, TickShear Shear, SpacingFit Fit)
{
    /// <summary>A tick ends where its contrast falls below this share of what it has in the middle of the row.</summary>
    private const double EndShare = 0.45;

    /// <summary>A gap in a tick of up to a fifth of a spacing is dirt or a scratch; a wider one parts it from the figure below.</summary>
    private const double BridgedSpacings = 0.2;

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
            (up[i], down[i]) = (End(contrast, strip.MiddleV + bow, -1, spacing) - bow, End(contrast, strip.MiddleV + bow, 1, spacing) - bow);
        }

        var u = ticks.Select(t => fit.At(t.Index)).ToArray();
        if (2 * up.Count(double.IsFinite) < up.Length || 2 * down.Count(double.IsFinite) < down.Length
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
        for (var i = 0; i < lengths.Length; i++)
        {
            var bow = fit.BowAt(u[i]);
            var contrast = TickProfile.AgainstGround(profiles, i);
            lengths[i] = sign * (End(contrast, strip.MiddleV + bow, sign, fit.SpacingAt(ticks[i].Index)) - bow - edge.At(u[i])) / fit.SpacingAt(ticks[i].Index);
        }

        return new TickLengths(lengths, edge.Scatter(u, edgeIsUp ? up : down) / middle, edge.Offset, edge.Slope, sign, shear, fit);
    }

    /// <summary>Where the contrast ends on one side of the middle; NaN where the tick is too faint or leaves the picture.</summary>
    private static double End(double[] contrast, double middle, int sign, double spacing)
    {
        var m = (int)Math.Round(middle);
        var near = Math.Max(1, (int)(0.5 * spacing));
        var around = new double[(2 * near) + 1];
        Array.Copy(contrast, m - near, around, 0, around.Length);
        Array.Sort(around);
        var reference = around[around.Length / 2];
        return reference > 1 ? End(contrast, m, sign, EndShare * reference, Math.Max(1, (int)(BridgedSpacings * spacing))) : double.NaN;
    }

    private static double End(double[] contrast, int from, int sign, double least, int bridged)
    {
        var last = from;
        for (var v = from; v >= 0 && v < contrast.Length && Math.Abs(v - last) <= bridged; v += sign)
        {
            // It goes on outside the picture.
            if (double.IsNaN(contrast[v]))
                return double.NaN;
            if (contrast[v] >= least)
                last = v;
        }

        var next = last + sign;
        if (next < 0 || next >= contrast.Length || last == from)
            return double.NaN;
        var drop = contrast[last] - contrast[next];
        return last + (sign * (drop > 0 ? Math.Clamp((contrast[last] - least) / drop, 0, 1) : 0));
    }
}
