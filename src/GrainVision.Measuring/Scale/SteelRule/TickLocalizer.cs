namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>A graduation found: its number from the start of the search, where it is (strip px) and how dark.</summary>
internal readonly record struct Tick(int Index, double U, double Depth);

/// <summary>
/// Counts and locates the graduations along a strip: from the middle outward, each predicted from the last few, so that
/// perspective is followed and a missing one is stepped over without losing count.
/// </summary>
internal static class TickLocalizer
{
    /// <summary>A tick is looked for within this share of a spacing from where it is expected.</summary>
    private const double SearchShare = 0.3;

    /// <summary>A tick less than a third as deep as its neighbours is glare or dirt.</summary>
    private const double LeastDepthShare = 0.33;

    /// <summary>After so many missing in a row the count is no longer sure.</summary>
    private const int GreatestGap = 6;

    /// <summary>The spacing is predicted from the last 8 ticks.</summary>
    private const int Memory = 8;

    /// <summary>Ticks in order of their place, or an empty list.</summary>
    /// <param name="strip">Turned level; inverted here where its ticks are bright.</param>
    /// <param name="inverted">Whether they are bright; null to tell by what is narrower.</param>
    public static List<Tick> Find(SteelRuleStrip strip, bool? inverted)
    {
        var spacing = strip.SpacingPx;
        var half = Math.Max(1, (int)Math.Round(0.6 * spacing));
        var line = Average(strip, half);
        if (inverted ?? Skewness(line, strip.StartU, spacing) < -0.4)
        {
            strip.Invert();
            line = Average(strip, half);
        }

        var dark = Darkness(line, spacing);
        if (Start(dark, strip.StartU, spacing) is not { } start)
            return [];
        List<Tick> up = [new(0, start, DepthAt(dark, start, spacing))];
        List<Tick> down = [up[0]];
        Track(dark, up, 1, spacing);
        Track(dark, down, -1, spacing);
        down.Reverse();
        down.RemoveAt(down.Count - 1);
        down.AddRange(up);
        return down;
    }

    private static float[] Average(SteelRuleStrip strip, int half)
    {
        var line = new float[strip.Width];
        var middle = (int)strip.MiddleV;
        var (first, last) = (Math.Max(0, middle - half), Math.Min(strip.Height - 1, middle + half));
        for (var v = first; v <= last; v++)
        {
            var row = strip.Row(v);
            for (var u = 0; u < line.Length; u++)
                line[u] += row[u];
        }

        for (var u = 0; u < line.Length; u++)
            line[u] /= last - first + 1;
        return line;
    }

    /// <summary>How much darker than the mean of two spacings round it: positive in a tick.</summary>
    private static float[] Darkness(float[] line, double spacing)
    {
        var sums = new double[line.Length + 1];
        for (var i = 0; i < line.Length; i++)
            sums[i + 1] = sums[i] + line[i];
        var reach = Math.Max(2, (int)Math.Round(spacing));
        var dark = new float[line.Length];
        for (var i = 0; i < line.Length; i++)
        {
            var (a, b) = (Math.Max(0, i - reach), Math.Min(line.Length, i + reach + 1));
            dark[i] = (float)(((sums[b] - sums[a]) / (b - a)) - line[i]);
        }

        return dark;
    }

    private static double Skewness(float[] line, double at, double spacing)
    {
        var a = (int)Math.Max(0, at - (5 * spacing));
        var b = (int)Math.Min(line.Length, at + (5 * spacing));
        double mean = 0, m2 = 0, m3 = 0;
        for (var i = a; i < b; i++)
            mean += line[i] / (b - a);
        for (var i = a; i < b; i++)
        {
            var d = mean - line[i];
            m2 += d * d / (b - a);
            m3 += d * d * d / (b - a);
        }

        return m2 > 0 ? m3 / Math.Pow(m2, 1.5) : 0;
    }

    /// <summary>A tick near the middle: the phase of the period there.</summary>
    private static double? Start(float[] dark, double at, double spacing)
    {
        var a = (int)Math.Max(0, at - (4 * spacing));
        var b = (int)Math.Min(dark.Length, at + (4 * spacing));
        double re = 0, im = 0;
        for (var i = a; i < b; i++)
        {
            var w = 0.5 + (0.5 * Math.Cos(Math.PI * (i - at) / (4 * spacing)));
            var (s, c) = Math.SinCos(2 * Math.PI * (i - at) / spacing);
            re += w * dark[i] * c;
            im += w * dark[i] * s;
        }

        if (re == 0 && im == 0)
            return null;
        return Locate(dark, at + (Math.Atan2(im, re) * spacing / (2 * Math.PI)), spacing);
    }

    private static void Track(float[] dark, List<Tick> ticks, int sign, double spacing)
    {
        var misses = 0;
        var index = ticks[0].Index;
        while (misses <= GreatestGap)
        {
            index += sign;
            var (at, step) = Predict(ticks, index, spacing);
            if (Math.Abs((step / spacing) - 1) > 0.5 || at < step || at > dark.Length - 1 - step)
                return;
            if (Locate(dark, at, step) is { } u)
            {
                var depth = DepthAt(dark, u, step);
                if (depth >= LeastDepthShare * MedianDepth(ticks))
                {
                    ticks.Add(new Tick(index, u, depth));
                    misses = 0;
                    continue;
                }
            }

            misses++;
        }
    }

    /// <summary>Straight line through the last ticks.</summary>
    private static (double At, double Step) Predict(List<Tick> ticks, int index, double spacing)
    {
        var first = Math.Max(0, ticks.Count - Memory);
        var count = ticks.Count - first;
        if (count < 3)
            return (ticks[^1].U + ((index - ticks[^1].Index) * spacing), spacing);
        double mi = 0, mu = 0, ii = 0, iu = 0;
        for (var i = first; i < ticks.Count; i++)
        {
            mi += (double)ticks[i].Index / count;
            mu += ticks[i].U / count;
        }

        for (var i = first; i < ticks.Count; i++)
        {
            ii += (ticks[i].Index - mi) * (ticks[i].Index - mi);
            iu += (ticks[i].Index - mi) * (ticks[i].U - mu);
        }

        var step = iu / ii;
        return (mu + ((index - mi) * step), step);
    }

    private static double MedianDepth(List<Tick> ticks)
    {
        Span<double> last = stackalloc double[Memory];
        var n = Math.Min(Memory, ticks.Count);
        for (var i = 0; i < n; i++)
            last[i] = ticks[ticks.Count - 1 - i].Depth;
        last[..n].Sort();
        return last[n / 2];
    }

    /// <summary>The darkest place near where a tick is expected, then the balance point of its darkness; null where there is no dark place.</summary>
    private static double? Locate(float[] dark, double at, double spacing)
    {
        var from = Math.Max(1, (int)Math.Ceiling(at - (SearchShare * spacing)));
        var to = Math.Min(dark.Length - 2, (int)Math.Floor(at + (SearchShare * spacing)));
        if (from > to)
            return null;
        var best = from;
        for (var i = from; i <= to; i++)
        {
            if (dark[i] > dark[best])
                best = i;
        }

        if (dark[best] <= 0)
            return null;

        // Balance point over a window that ends in the gaps, above the gaps' own level; repeated from the new middle.
        var centre = (double)best;
        for (var round = 0; round < 3; round++)
        {
            if (Balance(dark, centre, 0.42 * spacing) is not { } next)
                return null;
            centre = next;
        }

        return Math.Abs(centre - at) <= (SearchShare + 0.1) * spacing ? centre : null;
    }

    private static double? Balance(float[] dark, double centre, double reach)
    {
        if (centre - reach < 1 || centre + reach > dark.Length - 2)
            return null;
        var left = Sample(dark, centre - reach);
        var right = Sample(dark, centre + reach);
        double sum = 0, moment = 0;
        for (var i = (int)Math.Ceiling(centre - reach); i <= centre + reach; i++)
        {
            var t = (i - centre) / reach;
            var above = dark[i] - (((left * (1 - t)) + (right * (1 + t))) / 2);
            if (above <= 0)
                continue;

            // The window fades out, so that no pixel counts suddenly.
            var w = above * (1 - (t * t));
            sum += w;
            moment += w * (i - centre);
        }

        return sum > 0 ? centre + (moment / sum) : null;
    }

    private static double DepthAt(float[] dark, double u, double spacing) =>
        Sample(dark, u) - (0.5 * (Sample(dark, u - (0.5 * spacing)) + Sample(dark, u + (0.5 * spacing))));

    private static double Sample(float[] line, double u)
    {
        var x = Math.Clamp(u, 0, line.Length - 1.001);
        var i = (int)x;
        return line[i] + ((x - i) * (line[i + 1] - line[i]));
    }
}
