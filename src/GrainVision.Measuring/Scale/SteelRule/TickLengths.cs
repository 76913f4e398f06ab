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
        var up = new double[ticks.Count];
        var down = new double[ticks.Count];
        var contrast = new double[strip.Height];
        for (var i = 0; i < ticks.Count; i++)
        {
            Contrast(strip, fit.At(ticks[i].Index), fit.SpacingAt(ticks[i].Index), shear, contrast);
            var bow = fit.BowAt(fit.At(ticks[i].Index));
            (up[i], down[i]) = Ends(contrast, strip.MiddleV + bow, fit.SpacingAt(ticks[i].Index));
            (up[i], down[i]) = (up[i] - bow, down[i] - bow);
        }

        var u = ticks.Select(t => fit.At(t.Index)).ToArray();
        if (2 * up.Count(double.IsFinite) < up.Length || 2 * down.Count(double.IsFinite) < down.Length
            || MedianLine.Fit(u, up) is not { } upper || MedianLine.Fit(u, down) is not { } lower)
        {
            return null;
        }

        var spacing = fit.SpacingAt(0.5 * (ticks[0].Index + ticks[^1].Index));

        // All start at the edge; at the other side the long ones stand out, be they few. No more than 3 spacings each: dirt.
        var edgeIsUp = upper.MeanDistance(u, up, 3 * spacing) <= lower.MeanDistance(u, down, 3 * spacing);
        var edge = edgeIsUp ? upper : lower;
        var ends = edgeIsUp ? down : up;
        var sign = edgeIsUp ? 1 : -1;
        var lengths = new double[ticks.Count];
        for (var i = 0; i < lengths.Length; i++)
            lengths[i] = sign * (ends[i] - edge.At(u[i])) / fit.SpacingAt(ticks[i].Index);
        return new TickLengths(lengths, edge.Scatter(u, edgeIsUp ? up : down) / spacing, edge.Offset, edge.Slope, sign, shear, fit);
    }

    /// <summary>For each row: how much darker the tick is than the gaps on both sides.</summary>
    private static void Contrast(SteelRuleStrip strip, double u, double spacing, TickShear shear, double[] contrast)
    {
        var off = 0.08 * spacing;
        var lean = shear.At(u);
        for (var v = 0; v < contrast.Length; v++)
        {
            var at = u + (lean * (v - strip.MiddleV));
            var tick = (strip.At(at - off, v) + strip.At(at, v) + strip.At(at + off, v)) / 3;
            var gaps = 0.25 * (strip.At(at - (0.5 * spacing), v) + strip.At(at + (0.5 * spacing), v)
                + strip.At(at - (0.42 * spacing), v) + strip.At(at + (0.42 * spacing), v));
            contrast[v] = strip.Holds(at - (0.5 * spacing), v) && strip.Holds(at + (0.5 * spacing), v) ? gaps - tick : 0;
        }

        Smooth(contrast, (int)Math.Round(0.15 * spacing));
    }

    private static void Smooth(double[] line, int half)
    {
        if (half < 1)
            return;
        var sums = new double[line.Length + 1];
        for (var i = 0; i < line.Length; i++)
            sums[i + 1] = sums[i] + line[i];
        for (var i = 0; i < line.Length; i++)
        {
            var (a, b) = (Math.Max(0, i - half), Math.Min(line.Length, i + half + 1));
            line[i] = (sums[b] - sums[a]) / (b - a);
        }
    }

    private static (double Up, double Down) Ends(double[] contrast, double middle, double spacing)
    {
        var m = (int)Math.Round(middle);
        var near = Math.Max(1, (int)(0.5 * spacing));
        var around = new double[(2 * near) + 1];
        Array.Copy(contrast, m - near, around, 0, around.Length);
        Array.Sort(around);
        var reference = around[around.Length / 2];
        if (reference <= 1)
            return (double.NaN, double.NaN);
        var bridged = Math.Max(1, (int)(BridgedSpacings * spacing));
        return (End(contrast, m, -1, EndShare * reference, bridged), End(contrast, m, 1, EndShare * reference, bridged));
    }

    private static double End(double[] contrast, int from, int sign, double least, int bridged)
    {
        var last = from;
        for (var v = from; v >= 0 && v < contrast.Length && Math.Abs(v - last) <= bridged; v += sign)
        {
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
