using GrainVision.Measuring.Numerics;

namespace GrainVision.Measuring.Rings;

/// <summary>A place where a ring boundary may cross the path.</summary>
/// <param name="At">Column of the strip.</param>
/// <param name="Chance">That a ring boundary crosses there, from all bands that can be read.</param>
/// <param name="Scatter">Standard deviation of its place over the bands, columns; 0 where one band alone shows it.</param>
/// <param name="Bands">Bands that can be read there.</param>
internal readonly record struct RingCandidate(double At, double Chance, double Scatter, int Bands);

/// <summary>
/// Connects the boundaries of parallel bands: a growth ring crosses the whole strip, so a boundary counts by how many bands show it. What is left of the
/// rings' crookedness between bands is followed by the boundaries themselves.
/// </summary>
internal static class RingConnector
{
    /// <summary>0.3 of a ring's width, and 0.5 mm (7 columns): farther apart two bands' boundaries are two.</summary>
    private const double ReachPerRing = 0.3;
    private const double MostReach = 7;
    private const double LeastReach = 1.5;

    /// <summary>0.4: chance from which a boundary helps to follow the shift between bands.</summary>
    private const double ClearChance = 0.4;

    /// <summary>0.5: a band beside the path has half the say of the one on it, where the ring is counted.</summary>
    private const double SideWeight = 0.5;

    /// <summary>
    /// 28 columns (2 mm): so near to the end of the wood the bands beside the path may have left it or lost the rings' slant; they can speak for a boundary there, but not
    /// against it, and what the band on the path can hardly read counts by so much less.
    /// </summary>
    private const double RimColumns = 28;

    /// <summary>5 boundaries to either side steady the shift.</summary>
    private const int ShiftNeighbours = 5;

    /// <param name="middle">The band on the path: it says where the boundaries are.</param>
    /// <param name="sides">The bands beside it.</param>
    public static List<RingCandidate> Connect(RingBand middle, IReadOnlyList<RingBand> sides)
    {
        var clear = middle.Boundaries.Where(b => b.Chance > ClearChance).Select(b => b.At).ToArray();
        var shifted = sides.Select(s => s with { Boundaries = Shifted(s.Boundaries, clear) }).ToList();
        var left = shifted.Select(s => s.Boundaries.ToList()).ToList();
        var found = new List<RingCandidate>();
        var (start, end) = (Array.FindIndex(middle.Unreadable, u => u < 0.5), Array.FindLastIndex(middle.Unreadable, u => u < 0.5));
        bool Rim(double at) => Math.Min(at - start, end - at) < RimColumns;
        foreach (var seed in middle.Boundaries)
        {
            var rim = Rim(seed.At);
            var own = rim ? seed with { Chance = seed.Chance * (1 - middle.UnreadableAt(seed.At)) } : seed;
            found.Add(Gather(seed.At, middle.Blind(seed.At) ? null : own, shifted, left, Reach(clear, seed.At), rim));
        }

        // What only the bands beside the path show.
        foreach (var band in left)
        {
            foreach (var seed in band.OrderByDescending(b => b.Chance).ToList())
            {
                if (!band.Contains(seed))
                    continue;
                var reach = Reach(clear, seed.At);
                if (found.TrueForAll(f => Math.Abs(f.At - seed.At) > reach))
                    found.Add(Gather(seed.At, middle.Blind(seed.At) ? null : new BandBoundary(seed.At, 0), shifted, left, reach, Rim(seed.At)));
            }
        }

        found.Sort((a, b) => a.At.CompareTo(b.At));
        return found;
    }

    private static RingCandidate Gather(double at, BandBoundary? own, List<RingBand> sides, List<List<BandBoundary>> left, double reach, bool rim)
    {
        var (sum, weight) = (own?.Chance ?? 0, own is null ? 0.0 : 1.0);
        var bands = own is null ? 0 : 1;
        var places = new List<double>();
        if (own is { Chance: > 0 } middle)
            places.Add(middle.At);
        for (var s = 0; s < sides.Count; s++)
        {
            var near = left[s].Where(b => Math.Abs(b.At - at) <= reach).OrderBy(b => Math.Abs(b.At - at)).Select(b => (BandBoundary?)b).FirstOrDefault();
            if (near is { } seen)
            {
                left[s].Remove(seen);
                places.Add(seen.At);
                sum += SideWeight * seen.Chance;
            }
            else if (sides[s].Blind(at))
            {
                continue;
            }

            bands++;
            weight += near is null && rim ? 0 : SideWeight;
        }

        var mean = places.Count == 0 ? at : places.Average();
        var scatter = places.Count < 2 ? 0 : Math.Sqrt(places.Sum(p => (p - mean) * (p - mean)) / (places.Count - 1));
        return new RingCandidate(own is { Chance: > ClearChance } ? own.Value.At : mean, weight == 0 ? 0 : Chance(sum / weight), scatter, bands);
    }

    /// <summary>
    /// Mean chance over the bands to the chance of a ring, by a logistic fit: on drawn ends 2,018 of 2,025 candidates above 0.6 were rings, two in five of those
    /// between 0.3 and 0.6, one in twenty below 0.1.
    /// </summary>
    private static double Chance(double mean) => 1 / (1 + Math.Exp(-14 * (mean - 0.54)));

    /// <summary>A side band's boundaries moved onto the middle's, by the running median of their distances.</summary>
    private static List<BandBoundary> Shifted(IReadOnlyList<BandBoundary> side, double[] clear)
    {
        var moved = side.ToList();
        for (var round = 0; round < 2; round++)
        {
            var pairs = new List<(double At, double By)>();
            foreach (var b in moved.Where(b => b.Chance > ClearChance))
            {
                if (Nearest(clear, b.At) is { } c && Math.Abs(c - b.At) <= Reach(clear, b.At))
                    pairs.Add((b.At, c - b.At));
            }

            if (pairs.Count < 3)
                return moved;
            moved = moved.ConvertAll(b => b with { At = b.At + Shift(pairs, b.At) });
        }

        return moved;
    }

    private static double Shift(List<(double At, double By)> pairs, double at)
    {
        var next = pairs.FindIndex(p => p.At >= at);
        next = next < 0 ? pairs.Count : next;
        var (from, to) = (Math.Max(0, next - ShiftNeighbours), Math.Min(pairs.Count, next + ShiftNeighbours));
        return RobustStatistics.Median(pairs.GetRange(from, to - from).Select(p => p.By));
    }

    private static double? Nearest(double[] sorted, double at)
    {
        if (sorted.Length == 0)
            return null;
        var i = Array.BinarySearch(sorted, at);
        i = i < 0 ? ~i : i;
        var (a, b) = (sorted[Math.Max(0, i - 1)], sorted[Math.Min(sorted.Length - 1, i)]);
        return Math.Abs(a - at) < Math.Abs(b - at) ? a : b;
    }

    /// <summary>How far from a place a boundary of another band still is the same one, columns.</summary>
    private static double Reach(double[] clear, double at)
    {
        if (clear.Length < 3)
            return MostReach;
        var i = Array.BinarySearch(clear, at);
        i = i < 0 ? ~i : i;
        var (from, to) = (Math.Max(0, i - 3), Math.Min(clear.Length - 1, i + 3));
        var widths = Enumerable.Range(from, to - from).Select(k => clear[k + 1] - clear[k]);
        return Math.Clamp(ReachPerRing * RobustStatistics.Median(widths), LeastReach, MostReach);
    }
}
