using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>Small knots close together are one cluster, which counts as one knot (ANC-19 2.301).</summary>
internal static class PinKnots
{
    /// <summary>6.35 mm, a quarter inch: a pin knot is no larger (common practice, no source).</summary>
    private const double PinMm = 6.35;

    /// <summary>12 mm: pin knots this close are one cluster (common practice, no source).</summary>
    private const double ApartMm = 12;

    /// <summary>3: two small knots are two small knots.</summary>
    private const int Least = 3;

    public static IReadOnlyList<MarkRegion> Join(IReadOnlyList<MarkRegion> regions, RegionRim rim)
    {
        var pins = regions.Where(r => r.Class == MarkClass.Knot && r.Shape.LongestMm <= PinMm).ToList();
        var group = Enumerable.Range(0, pins.Count).ToArray();
        int Root(int i) => group[i] == i ? i : group[i] = Root(group[i]);
        for (var i = 0; i < pins.Count; i++)
        {
            for (var k = 0; k < i; k++)
            {
                if (pins[i].MiddleMm.DistanceTo(pins[k].MiddleMm) - ((pins[i].Shape.LongestMm + pins[k].Shape.LongestMm) / 2) <= ApartMm)
                    group[Root(i)] = Root(k);
            }
        }

        var clusters = Enumerable.Range(0, pins.Count).GroupBy(Root).Where(g => g.Count() >= Least).Select(g => g.Select(i => pins[i]).ToList()).ToList();
        var joined = clusters.SelectMany(c => c).ToHashSet(ReferenceEqualityComparer.Instance);
        return [.. clusters.Select(c => One(c, rim)), .. regions.Where(r => !joined.Contains(r))];
    }

    private static MarkRegion One(List<MarkRegion> pins, RegionRim rim)
    {
        Point2d[] hull = [.. Cv2.ConvexHull(pins.SelectMany(p => p.RimMm).Select(p => new Point2f((float)p.X, (float)p.Y))).Select(p => new Point2d(p.X, p.Y))];
        return rim.Make([.. pins.SelectMany(p => p.Pixels)], hull) with { Class = MarkClass.Knot, Peak = pins.Max(p => p.Peak), Parts = pins.Count };
    }
}
