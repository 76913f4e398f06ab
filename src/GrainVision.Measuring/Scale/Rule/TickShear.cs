namespace GrainVision.Measuring.Scale.Rule;

/// <summary>
/// How far the graduations lean from the strip's rows: columns per row, changing evenly along the strip, as graduations seen in
/// perspective fan out.
/// </summary>
internal sealed record TickShear(double Offset, double Slope)
{
    /// <summary>Ticks whose lean is measured together.</summary>
    private const int Together = 10;

    public double At(double u) => Offset + (Slope * u);

    public static TickShear Measure(RuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit)
    {
        var places = new List<double>();
        var leans = new List<double>();
        for (var first = 0; first < ticks.Count; first += Together)
        {
            var last = Math.Min(ticks.Count - 1, first + Together - 1);
            if (last - first < Together / 2 && places.Count > 0)
                break;
            if (Lean(strip, fit, ticks[first].Index, ticks[last].Index) is not { } lean)
                continue;
            places.Add(0.5 * (fit.At(ticks[first].Index) + fit.At(ticks[last].Index)));
            leans.Add(lean);
        }

        if (places.Count < 3)
            return new TickShear(leans.Count > 0 ? leans.Average() : 0, 0);
        var line = MedianLine.Fit(places.ToArray(), leans.ToArray());
        return line is null ? new TickShear(0, 0) : new TickShear(line.Offset, line.Slope);
    }

    /// <summary>The phase of the period row by row; its slope is the lean.</summary>
    private static double? Lean(RuleStrip strip, SpacingFit fit, int first, int last)
    {
        var spacing = fit.SpacingAt(0.5 * (first + last));
        var reach = Math.Max(2, (int)(1.2 * spacing));
        var from = (int)Math.Max(0, fit.At(first) - (0.5 * spacing));
        var to = (int)Math.Min(strip.Width - 1, fit.At(last) + (0.5 * spacing));
        var count = to - from;
        if (count < 3 * spacing)
            return null;
        var cos = new double[count];
        var sin = new double[count];
        for (var i = 0; i < count; i++)
            (sin[i], cos[i]) = Math.SinCos(2 * Math.PI * fit.IndexAt(from + i));
        var middle = (int)strip.MiddleV;
        double weight = 0, mv = 0, mp = 0, vv = 0, vp = 0;
        double? before = null;
        for (var v = middle - reach; v <= middle + reach; v++)
        {
            if (v < 0 || v >= strip.Height)
                continue;
            var row = strip.Row(v).Slice(from, count);
            double re = 0, im = 0;
            for (var i = 0; i < count; i++)
            {
                re -= row[i] * cos[i];
                im -= row[i] * sin[i];
            }

            var power = (re * re) + (im * im);
            var phase = Math.Atan2(im, re);
            if (before is { } b)
                phase -= 2 * Math.PI * Math.Round((phase - b) / (2 * Math.PI));
            before = phase;
            weight += power;
            mv += power * v;
            mp += power * phase;
            vv += power * v * v;
            vp += power * v * phase;
        }

        var spread = vv - (mv * mv / Math.Max(weight, 1e-9));
        return spread > 1e-9 ? (vp - (mv * mp / weight)) / spread * spacing / (2 * Math.PI) : null;
    }
}
