namespace GrainVision.Synthesis;

/// <summary>One tree's rings along a reference radius: where each starts, how much of it is latewood, how dark that is.</summary>
public sealed class RingSequence
{
    /// <summary>0.25 mm: narrower rings do occur but no camera of this scene would show them.</summary>
    private const double NarrowestMm = 0.25;

    private readonly double[] _radii;
    private readonly double[] _latewood;
    private readonly double[] _darkness;
    private readonly double[] _falseRing;

    private RingSequence(double[] radii, double[] latewood, double[] darkness, double[] falseRing)
    {
        _radii = radii;
        _latewood = latewood;
        _darkness = darkness;
        _falseRing = falseRing;
    }

    /// <summary>Reference radius at which ring k begins (inner boundary), mm; the last one ends the last ring.</summary>
    public IReadOnlyList<double> Radii => _radii;

    /// <summary>Latewood share of ring k, 0 to 1.</summary>
    public IReadOnlyList<double> Latewood => _latewood;

    /// <summary>Darkness of ring k's latewood, 0 (none) to about 1.2.</summary>
    public IReadOnlyList<double> Darkness => _darkness;

    /// <summary>Darkness of a false ring in ring k; 0 for most.</summary>
    public IReadOnlyList<double> FalseRing => _falseRing;

    /// <summary>Number of rings.</summary>
    public int Count => _latewood.Length;

    /// <summary>Index of the ring that holds a reference radius.</summary>
    public int IndexAt(double u)
    {
        var i = Array.BinarySearch(_radii, u);
        return Math.Clamp(i >= 0 ? i : ~i - 1, 0, Count - 1);
    }

    /// <summary>Ring number with its fraction: 12.25 is a quarter into ring 12.</summary>
    public double NumberAt(double u)
    {
        var k = IndexAt(u);
        return k + ((u - _radii[k]) / (_radii[k + 1] - _radii[k]));
    }

    /// <summary>
    /// Rings for a board that spans reference radii <paramref name="u0"/> to <paramref name="u1"/>, scaled so that the mean ring
    /// width there is <paramref name="targetMm"/>. Year-to-year variation is that of measured trees.
    /// </summary>
    internal static RingSequence Grow(SeededRandom random, SpeciesLook look, double u0, double u1, double outermost, double targetMm, bool constant, double falseRingShare, SeededRandom? variety = null)
    {
        var outer = outermost + 60;
        var shape = constant ? Enumerable.Repeat(1.0, (int)(outer / targetMm) + 40).ToArray() : Shape(random, (int)(outer / targetMm * 1.6) + 60);
        if (variety is not null)
            Upset(shape, variety);
        var scale = targetMm;
        double[] radii = [];
        for (var pass = 0; pass < 12; pass++)
        {
            radii = Accumulate(shape, scale, outer);
            var mean = (u1 - u0) / (Number(radii, u1) - Number(radii, Math.Max(0, u0)));
            if (u1 <= u0 || Math.Abs((mean / targetMm) - 1) < 1e-4)
                break;
            scale *= targetMm / mean;
        }

        var n = radii.Length - 1;
        var latewood = new double[n];
        var darkness = new double[n];
        var falseRing = new double[n];
        var drift = 0.0;
        for (var k = 0; k < n; k++)
        {
            var width = radii[k + 1] - radii[k];
            drift = (0.7 * drift) + random.Normal(0, 0.07);
            // Latewood varies less than ring width does: narrow rings hold a larger share of it.
            var share = look.LatewoodShare * Math.Pow(targetMm / width, look.RingPorous ? -0.25 : 0.30) * Math.Exp(constant ? 0 : drift);
            latewood[k] = Math.Clamp(share, look.RingPorous ? 0.30 : 0.10, look.RingPorous ? 0.80 : 0.60);
            darkness[k] = Math.Clamp(1 + (constant ? 0 : random.Normal(0, look.RingContrast)), 0.45, 1.35);
            falseRing[k] = random.Chance(falseRingShare) ? random.Uniform(0.2, 0.5) * darkness[k] : 0;
        }

        if (variety is not null)
            UpsetLatewood(latewood, darkness, variety);

        return new RingSequence(radii, latewood, darkness, falseRing);
    }

    /// <summary>Bad years and sudden releases: runs of rings a third as wide as their neighbours, single wide or narrow rings.</summary>
    private static void Upset(double[] shape, SeededRandom random)
    {
        var spread = random.Uniform(0.7, 1.7);
        for (var k = 0; k < shape.Length; k++)
            shape[k] = Math.Pow(shape[k], spread) * (random.Chance(0.05) ? random.LogUniform(0.3, 2.5) : 1);
        if (random.Chance(0.5))
        {
            for (var k = random.Index(30); k < shape.Length; k += 15 + random.Index(60))
            {
                var factor = random.Chance(0.65) ? random.Uniform(0.2, 0.5) : random.Uniform(1.5, 2.8);
                for (var end = Math.Min(shape.Length, k + 2 + random.Index(14)); k < end; k++)
                    shape[k] *= factor;
            }
        }
    }

    /// <summary>Runs of weak latewood, and of the broad dark latewood of compression wood.</summary>
    private static void UpsetLatewood(double[] latewood, double[] darkness, SeededRandom random)
    {
        if (random.Chance(0.4))
            return;
        for (var k = random.Index(30); k < latewood.Length; k += 20 + random.Index(60))
        {
            var broad = random.Chance(0.4);
            for (var end = Math.Min(latewood.Length, k + 3 + random.Index(15)); k < end; k++)
            {
                latewood[k] = Math.Min(broad ? 0.65 : 1, latewood[k] * (broad ? random.Uniform(1.4, 2.2) : 1));
                darkness[k] *= broad ? random.Uniform(0.9, 1.15) : random.Uniform(0.35, 0.8);
            }
        }
    }

    /// <summary>Relative widths, mean near 1: measured series chained, their age trend softened so that one board keeps to one size of ring.</summary>
    private static double[] Shape(SeededRandom random, int count)
    {
        var shape = new List<double>(count);
        while (shape.Count < count)
        {
            var series = RingWidthLibrary.Series[random.Index(RingWidthLibrary.Series.Count)];
            var mean = series.Average();
            for (var i = 0; i < series.Length && shape.Count < count; i++)
            {
                var from = Math.Max(0, i - 12);
                var to = Math.Min(series.Length, i + 13);
                var local = 0.0;
                for (var j = from; j < to; j++)
                    local += series[j];
                local /= to - from;
                var value = Math.Sqrt(local / mean) * Math.Pow(Math.Max(series[i], 0.05) / local, 0.85);
                shape.Add(Math.Clamp(value, 0.35, 2.2));
            }
        }

        return [.. shape];
    }

    private static double[] Accumulate(double[] shape, double scale, double outer)
    {
        var radii = new List<double> { 0 };
        for (var k = 0; radii[^1] < outer; k++)
            radii.Add(radii[^1] + Math.Max(NarrowestMm, shape[k % shape.Length] * scale));
        return [.. radii];
    }

    private static double Number(double[] radii, double u)
    {
        var i = Array.BinarySearch(radii, u);
        var k = Math.Clamp(i >= 0 ? i : ~i - 1, 0, radii.Length - 2);
        return k + ((u - radii[k]) / (radii[k + 1] - radii[k]));
    }
}
