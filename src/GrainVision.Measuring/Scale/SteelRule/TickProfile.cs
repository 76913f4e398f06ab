namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>What is seen along one graduation, row by row of the strip: its own brightness and that of the gaps on both sides; NaN outside the picture.</summary>
internal sealed class TickProfile
{
    /// <summary>Gaps to both sides whose brightness together tells the ground at a row: numerals fill some of them, not most.</summary>
    private const int GroundGaps = 6;

    /// <summary>0.65: the ground is brighter than ink; shading moves it less than numerals do.</summary>
    private const double GroundQuantile = 0.65;

    private readonly double _spacing;
    private readonly double[] _tick;
    private readonly double[] _gaps;

    private TickProfile(double spacing, double[] tick, double[] gaps)
    {
        _spacing = spacing;
        _tick = tick;
        _gaps = gaps;
    }

    public static TickProfile Read(SteelRuleStrip strip, double u, double spacing, TickShear shear)
    {
        var off = 0.08 * spacing;
        var lean = shear.At(u);
        var (tick, gaps) = (new double[strip.Height], new double[strip.Height]);
        for (var v = 0; v < tick.Length; v++)
        {
            var at = u + (lean * (v - strip.MiddleV));
            if (!strip.Shows(at - (0.5 * spacing), v) || !strip.Shows(at + (0.5 * spacing), v))
            {
                tick[v] = gaps[v] = double.NaN;
                continue;
            }

            tick[v] = (strip.At(at - off, v) + strip.At(at, v) + strip.At(at + off, v)) / 3;
            gaps[v] = 0.25 * (strip.At(at - (0.5 * spacing), v) + strip.At(at + (0.5 * spacing), v) + strip.At(at - (0.42 * spacing), v) + strip.At(at + (0.42 * spacing), v));
        }

        return new TickProfile(spacing, tick, gaps);
    }

    /// <summary>How much darker the graduation is than the gaps beside it: what is uneven over more than a spacing does not count.</summary>
    public double[] AgainstNeighbours()
    {
        var contrast = new double[_tick.Length];
        for (var v = 0; v < contrast.Length; v++)
            contrast[v] = _gaps[v] - _tick[v];
        return Smooth(contrast, _spacing);
    }

    /// <summary>How much darker one is than the rule's ground at the same row: numerals in the gaps beside it do not end it.</summary>
    public static double[] AgainstGround(IReadOnlyList<TickProfile> all, int one)
    {
        var (from, to) = (Math.Max(0, one - GroundGaps), Math.Min(all.Count - 1, one + GroundGaps));
        var contrast = new double[all[one]._tick.Length];
        Span<double> seen = stackalloc double[(2 * GroundGaps) + 1];
        for (var v = 0; v < contrast.Length; v++)
        {
            var count = 0;
            for (var i = from; i <= to; i++)
            {
                if (!double.IsNaN(all[i]._gaps[v]))
                    seen[count++] = all[i]._gaps[v];
            }

            seen[..count].Sort();
            contrast[v] = count > 0 ? seen[(int)(GroundQuantile * (count - 1))] - all[one]._tick[v] : double.NaN;
        }

        return Smooth(contrast, all[one]._spacing);
    }

    private static double[] Smooth(double[] line, double spacing)
    {
        var half = (int)Math.Round(0.15 * spacing);
        if (half < 1)
            return line;
        var smooth = new double[line.Length];
        for (var i = 0; i < line.Length; i++)
        {
            double sum = 0;
            var (a, b) = (Math.Max(0, i - half), Math.Min(line.Length, i + half + 1));
            for (var j = a; j < b; j++)
                sum += line[j];
            smooth[i] = sum / (b - a);
        }

        return smooth;
    }
}
