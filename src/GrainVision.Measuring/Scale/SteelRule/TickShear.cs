namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// How far the graduations lean from the strip's rows: columns per row, changing evenly along the strip, as graduations seen in
/// perspective fan out.
/// </summary>
/// <param name="Offset">Lean at strip column 0.</param>
/// <param name="Slope">Change of the lean per column: 0 with the camera square to the rule across it.</param>
/// <param name="SlopeSigma">Its standard uncertainty; infinite where the row is too short to show it.</param>
/// <param name="MeanU">Middle of the places where the lean was measured.</param>
internal sealed record TickShear(double Offset, double Slope, double SlopeSigma, double MeanU)
{
    /// <summary>Ticks whose lean is measured together: a sixth of the row, at least 4 and at most 10.</summary>
    private const int LeastTogether = 4;
    private const int GreatestTogether = 10;

    /// <summary>0.001: no lean is known better, however little the measured ones scatter.</summary>
    private const double LeastSigma = 0.001;

    /// <summary>Rows with a quarter of the power of the best (half its contrast) still cross the graduations.</summary>
    private const double LeastPowerShare = 0.25;

    public double At(double u) => Offset + (Slope * u);

    public static TickShear Measure(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit)
    {
        var places = new List<double>();
        var leans = new List<double>();
        var together = Math.Clamp(ticks.Count / 6, LeastTogether, GreatestTogether);
        for (var first = 0; first < ticks.Count; first += together)
        {
            var last = Math.Min(ticks.Count - 1, first + together - 1);
            if (last - first < together / 2 && places.Count > 0)
                break;
            if (Lean(strip, fit, ticks[first].Index, ticks[last].Index) is not { } lean)
                continue;
            places.Add(0.5 * (fit.At(ticks[first].Index) + fit.At(ticks[last].Index)));
            leans.Add(lean);
        }

        if (MedianLine.Fit(places.ToArray(), leans.ToArray(), LeastSigma) is not { } line)
            return new TickShear(leans.Count > 0 ? leans.Average() : 0, 0, double.PositiveInfinity, 0);
        var mean = places.Average();
        return new TickShear(line.Offset, line.Slope, SigmaOf(line, places, leans, mean), mean);
    }

    /// <summary>1.25: what least absolute deviations cost against least squares where the scatter is normal (root of pi / 2).</summary>
    private static double SigmaOf(MedianLine line, List<double> places, List<double> leans, double mean)
    {
        if (places.Count < 4)
            return double.PositiveInfinity;
        var spread = places.Sum(p => (p - mean) * (p - mean));
        var squares = places.Zip(leans, (p, l) => (l - line.At(p)) * (l - line.At(p))).Sum();
        return 1.25 * Math.Max(LeastSigma, Math.Sqrt(squares / (places.Count - 2))) / Math.Sqrt(spread);
    }

    /// <summary>The phase of the period row by row; its slope is the lean.</summary>
    private static double? Lean(SteelRuleStrip strip, SpacingFit fit, int first, int last)
    {
        var spacing = fit.SpacingAt(0.5 * (first + last));
        var reach = Math.Max(2, (int)(2.5 * spacing));
        var from = (int)Math.Max(0, fit.At(first) - (0.5 * spacing));
        var to = (int)Math.Min(strip.Width - 1, fit.At(last) + (0.5 * spacing));
        var count = to - from;
        if (count < 3 * spacing)
            return null;
        var cos = new double[count];
        var sin = new double[count];
        for (var i = 0; i < count; i++)
            (sin[i], cos[i]) = Math.SinCos(2 * Math.PI * fit.IndexAt(from + i));
        var rows = Phases(strip, from, cos, sin, reach);

        // Beyond the shortest graduations' ends the phase means nothing.
        var greatest = rows.Max(r => r.Power);
        double weight = 0, mv = 0, mp = 0, vv = 0, vp = 0;
        foreach (var sign in (ReadOnlySpan<int>)[-1, 1])
        {
            double? before = null;
            foreach (var r in rows.Where(r => (r.V - strip.MiddleV) * sign > -1).OrderBy(r => r.V * sign))
            {
                if (r.Power < LeastPowerShare * greatest)
                    break;
                var phase = r.Phase;
                if (before is { } b)
                    phase -= 2 * Math.PI * Math.Round((phase - b) / (2 * Math.PI));
                before = phase;
                var v = r.V - strip.MiddleV;
                weight += r.Power;
                mv += r.Power * v;
                mp += r.Power * phase;
                vv += r.Power * v * v;
                vp += r.Power * v * phase;
            }
        }

        if (weight <= 0)
            return null;
        var spread = vv - (mv * mv / weight);
        return spread > 1e-9 ? (vp - (mv * mp / weight)) / spread * spacing / (2 * Math.PI) : null;
    }

    private static List<(int V, double Power, double Phase)> Phases(SteelRuleStrip strip, int from, double[] cos, double[] sin, int reach)
    {
        var rows = new List<(int, double, double)>();
        var middle = (int)Math.Round(strip.MiddleV);
        for (var v = Math.Max(0, middle - reach); v <= Math.Min(strip.Height - 1, middle + reach); v++)
        {
            var row = strip.Row(v).Slice(from, cos.Length);
            double re = 0, im = 0;
            for (var i = 0; i < cos.Length; i++)
            {
                re -= row[i] * cos[i];
                im -= row[i] * sin[i];
            }

            rows.Add((v, (re * re) + (im * im), Math.Atan2(im, re)));
        }

        return rows;
    }
}
