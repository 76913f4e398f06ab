namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>Numerals at one pitch along a row: ink stands in one arc of every turn of the pitch, and little elsewhere.</summary>
/// <param name="Pitch">Graduations from one to the next, as tried.</param>
/// <param name="Start">Gap at which an arc begins.</param>
/// <param name="Arc">Gaps that an arc takes.</param>
/// <param name="Count">Turns that hold ink.</param>
/// <param name="Gain">Natural logarithm of how much likelier this makes the ink than ink anywhere.</param>
internal sealed record NumeralComb(double Pitch, double Start, int Arc, int Count, double Gain)
{
    /// <summary>Of four numerals one may be hidden or worn; of two or three none.</summary>
    private const double LeastPresent = 0.75;

    /// <summary>Between numerals one place in eight may hold dirt.</summary>
    private const double GreatestStray = 0.13;

    /// <summary>A sixth of the pitch, at least, is free between numerals.</summary>
    private const double LeastFree = 0.16;

    /// <param name="band">Of each gap: 1 with ink, 0 without, -1 unseen.</param>
    /// <param name="pitch">Graduations.</param>
    public static NumeralComb? Best(int[] band, double pitch)
    {
        var places = (int)Math.Ceiling(pitch);
        Span<int> seen = stackalloc int[places];
        Span<int> inked = stackalloc int[places];
        int allSeen = 0, allInked = 0;
        for (var g = 0; g < band.Length; g++)
        {
            if (band[g] < 0)
                continue;
            var place = (int)(g % pitch);
            seen[place]++;
            inked[place] += band[g];
            allSeen++;
            allInked += band[g];
        }

        if (allInked == 0 || allSeen < 1.5 * pitch)
            return null;
        var chance = LogLikelihood(allInked, allSeen);
        (double Gain, int First, int Arc) best = (0, 0, 0);
        for (var first = 0; first < places; first++)
        {
            int s = 0, k = 0;
            for (var arc = 1; places - arc >= Math.Max(2, LeastFree * pitch); arc++)
            {
                s += seen[(first + arc - 1) % places];
                k += inked[(first + arc - 1) % places];
                if (s == 0 || s == allSeen || allInked - k > GreatestStray * (allSeen - s))
                    continue;
                var gain = LogLikelihood(k, s) + LogLikelihood(allInked - k, allSeen - s) - chance;
                if (gain > best.Gain)
                    best = (gain, first, arc);
            }
        }

        if (best.Arc == 0)
            return null;
        var (present, visible) = Turns(band, pitch, best.First, best.Arc);

        // Place of the arc, its length and a second rate.
        return present >= 2 && present >= (visible > 3 ? LeastPresent : 1) * visible
            ? new NumeralComb(pitch, best.First, best.Arc, present, best.Gain - (1.5 * Math.Log(allSeen)))
            : null;
    }

    /// <summary>The pitch as the middles of the numerals say; null where they do not keep it.</summary>
    public double? Measure(int[] band)
    {
        var middles = new List<(int N, double At)>();
        var n = 0;
        for (var start = Start - Pitch; start < band.Length; start += Pitch, n++)
        {
            double sum = 0;
            int count = 0, unseen = 0;
            for (var i = -1; i <= Arc; i++)
            {
                var g = (int)Math.Floor(start + i);
                if (g < 0 || g >= band.Length || band[g] < 0)
                {
                    unseen++;
                    continue;
                }

                sum += band[g] * g;
                count += band[g];
            }

            if (count > 0 && unseen == 0)
                middles.Add((n, sum / count));
        }

        if (middles.Count < 2)
            return null;
        var (mn, ma) = (middles.Average(m => m.N), middles.Average(m => m.At));
        return middles.Sum(m => (m.N - mn) * (m.At - ma)) / middles.Sum(m => (m.N - mn) * (m.N - mn));
    }

    /// <summary>Turns with ink in the arc, and turns whose arc is seen whole or holds ink.</summary>
    private static (int Present, int Visible) Turns(int[] band, double pitch, int first, int arc)
    {
        int present = 0, visible = 0;
        for (var start = first - pitch; start < band.Length; start += pitch)
        {
            int shown = 0, ink = 0;
            for (var i = 0; i < arc; i++)
            {
                var g = (int)Math.Floor(start + i);
                if (g < 0 || g >= band.Length || band[g] < 0)
                    continue;
                shown++;
                ink += band[g];
            }

            if (ink == 0 && shown < arc)
                continue;
            visible++;
            present += ink > 0 ? 1 : 0;
        }

        return (present, visible);
    }

    private static double LogLikelihood(int hits, int all)
    {
        if (hits == 0 || hits == all)
            return 0;
        var p = hits / (double)all;
        return (hits * Math.Log(p)) + ((all - hits) * Math.Log(1 - p));
    }
}
