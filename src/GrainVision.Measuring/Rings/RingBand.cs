namespace GrainVision.Measuring.Rings;

/// <summary>A boundary that one band shows.</summary>
/// <param name="At">Column of the strip, with its fraction.</param>
/// <param name="Chance">The network's chance there.</param>
internal readonly record struct BandBoundary(double At, double Chance);

/// <summary>One band of a strip as the network read it, in columns of the strip.</summary>
/// <param name="Boundaries">Ascending.</param>
/// <param name="Unreadable">Chance of each column that it cannot be read; 1 where the band has left the wood.</param>
internal sealed record RingBand(IReadOnlyList<BandBoundary> Boundaries, double[] Unreadable)
{
    /// <summary>Of each column, whether half of the band or more is wood; null where all is.</summary>
    public bool[]? Wood { get; init; }

    /// <summary>0.1: chance from which a local maximum is kept as a candidate.</summary>
    public const double LeastChance = 0.1;

    /// <summary>2.5 columns as the network sees them: narrower rings were not taught.</summary>
    private const double LeastApart = 2.5;

    /// <param name="reading">Of the band, resampled.</param>
    /// <param name="scale">Columns of the reading for each column of the strip.</param>
    /// <param name="wood">Of each column of the strip, the share of the band that is wood.</param>
    public static RingBand From(ColumnReading reading, double scale, double[] wood)
    {
        // Pixel centres: column x of the strip is column (x + 0.5)·scale - 0.5 of the reading.
        var found = Maxima(reading.Boundary).Select(b => b with { At = ((b.At + 0.5) / scale) - 0.5 }).ToList();
        var unreadable = new double[wood.Length];
        for (var x = 0; x < wood.Length; x++)
        {
            var at = Math.Clamp((int)Math.Round(((x + 0.5) * scale) - 0.5), 0, reading.Unreadable.Length - 1);
            unreadable[x] = wood[x] < 0.5 ? 1 : reading.Unreadable[at];
        }

        return new RingBand(found, unreadable) { Wood = [.. wood.Select(w => w >= 0.5)] };
    }

    /// <summary>Is the band blind at a column?</summary>
    public bool Blind(double at) => UnreadableAt(at) > 0.5;

    public double UnreadableAt(double at) => Unreadable[Math.Clamp((int)Math.Round(at), 0, Unreadable.Length - 1)];

    /// <summary>Local maxima, the strongest first where two lie too close, each placed by a parabola.</summary>
    internal static List<BandBoundary> Maxima(float[] p)
    {
        var kept = new List<int>();
        var tops = Enumerable.Range(1, Math.Max(0, p.Length - 2)).Where(i => p[i] > LeastChance && p[i] >= p[i - 1] && p[i] > p[i + 1]);
        foreach (var i in tops.OrderByDescending(i => p[i]).ThenBy(i => i))
        {
            if (kept.TrueForAll(k => Math.Abs(k - i) >= LeastApart))
                kept.Add(i);
        }

        kept.Sort();
        return kept.ConvertAll(i =>
        {
            var curve = p[i - 1] - (2 * p[i]) + p[i + 1];
            var off = curve == 0 ? 0 : Math.Clamp(0.5 * (p[i - 1] - p[i + 1]) / curve, -0.5, 0.5);
            return new BandBoundary(i + off, p[i]);
        });
    }
}
