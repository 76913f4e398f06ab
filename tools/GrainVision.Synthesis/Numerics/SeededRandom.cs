namespace GrainVision.Synthesis;

/// <summary>
/// Seeded random numbers that never change between runs, machines or .NET versions (xoshiro256**, Blackman and Vigna 2018,
/// doi:10.1145/3460772, seeded by SplitMix64). Named forks keep one choice from shifting all later ones.
/// </summary>
public sealed class SeededRandom
{
    private ulong _s0;
    private ulong _s1;
    private ulong _s2;
    private ulong _s3;
    private readonly ulong _seed;

    public SeededRandom(ulong seed)
    {
        _seed = seed;
        var x = seed;
        _s0 = SplitMix(ref x);
        _s1 = SplitMix(ref x);
        _s2 = SplitMix(ref x);
        _s3 = SplitMix(ref x);
    }

    /// <summary>An independent stream for one named purpose; the same name gives the same stream.</summary>
    public SeededRandom Fork(string name)
    {
        // FNV-1a, 64 bit.
        var hash = 14695981039346656037UL;
        foreach (var c in name)
            hash = (hash ^ c) * 1099511628211UL;
        var x = _seed ^ hash;
        return new SeededRandom(SplitMix(ref x));
    }

    public ulong NextBits()
    {
        var result = ulong.RotateLeft(_s1 * 5, 7) * 9;
        var t = _s1 << 17;
        _s2 ^= _s0;
        _s3 ^= _s1;
        _s1 ^= _s2;
        _s0 ^= _s3;
        _s2 ^= t;
        _s3 = ulong.RotateLeft(_s3, 45);
        return result;
    }

    /// <summary>0 (included) to 1 (excluded).</summary>
    public double Next() => (NextBits() >> 11) * (1.0 / (1UL << 53));

    public double Uniform(double low, double high) => low + ((high - low) * Next());

    /// <summary>Uniform in the logarithm: as many between 4 and 8 as between 8 and 16.</summary>
    public double LogUniform(double low, double high) => low * Math.Pow(high / low, Next());

    public double Normal(double mean = 0, double sd = 1)
    {
        var u = 1 - Next();
        return mean + (sd * Math.Sqrt(-2 * Math.Log(u)) * Math.Cos(2 * Math.PI * Next()));
    }

    /// <summary>0 to <paramref name="count"/> - 1.</summary>
    public int Index(int count) => (int)(Next() * count);

    public bool Chance(double probability) => Next() < probability;

    public int Sign() => Chance(0.5) ? 1 : -1;

    public T Pick<T>(params T[] choices)
    {
        ArgumentNullException.ThrowIfNull(choices);
        return choices[Index(choices.Length)];
    }

    internal static ulong SplitMix(ref ulong x)
    {
        x += 0x9E3779B97F4A7C15UL;
        var z = x;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
        return z ^ (z >> 31);
    }
}
