using GrainVision.Grading.Findings;
using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>What the trees go by: what the network says in and about a region, its shape, its contrast, where it lies, and what else is there.</summary>
internal static class RegionFeatures
{
    private static readonly MarkClass[] Told = Enum.GetValues<MarkClass>();

    /// <summary>Names in the order of the vector; trees are grown for this order and refuse another.</summary>
    public static IReadOnlyList<string> Names { get; } =
    [
        .. Told.Select(c => $"most {c}"), .. Told.Select(c => $"mean {c}"), .. Told.Select(c => $"beside {c}"), .. MarkClasses.Blemishes.Select(c => $"is {c}"),
        "area", "length", "width", "diameter", "longest", "mean-width", "solidity", "parts", "spread-ratio", "line-angle", "axis-angle",
        "inside", "inside-mean", "edge-share", "edge-angle", "side-count",
        "darker", "darkest", "darker-by-noise", "redder", "yellower", "level", "noise",
        "near-count", "near-distance", "near-like", "region-count", .. MarkClasses.Harmless.Select(c => $"surface {c}"), "view-end", "pitch",
    ];

    /// <summary>30 mm: regions this close may belong together, as the letters of a stamp do.</summary>
    private const double NearMm = 30;

    /// <summary>1 mm: what lies within is at the edge.</summary>
    private const double EdgeMm = 1;

    /// <summary>The rows of a surface's regions.</summary>
    /// <param name="maps">What the network said.</param>
    /// <param name="colours">The surface's colours at the maps' pitch.</param>
    /// <param name="regions">What was found.</param>
    /// <param name="rim">Of the section's frame.</param>
    /// <param name="view">End or face.</param>
    /// <param name="lineRad">Direction of the growth lines.</param>
    /// <param name="photoPitch">Pixels of the photo a mm: how much of a hair check it shows.</param>
    public static IReadOnlyList<float[]> Of(
        SurfaceMaps maps, RegionSurroundings colours, IReadOnlyList<MarkRegion> regions, RegionRim rim, View view, Func<Point2d, double> lineRad, double photoPitch)
    {
        float[] surface = [.. MarkClasses.Harmless.Select(c => Mean(maps[c]))];
        return [.. regions.Select(r =>
        {
            float[] row =
            [
                .. Probabilities(maps, colours, r), .. MarkClasses.Blemishes.Select(c => r.Class == c ? 1f : 0f), .. Shape(maps, r, rim, lineRad),
                .. colours.Contrast(r), .. Company(r, regions), .. surface, view == View.End ? 1 : 0, (float)Math.Min(photoPitch, SurfacePicture.FinestPitch(view)),
            ];
            return Array.ConvertAll(row, v => float.IsFinite(v) ? v : 0);
        })];
    }

    private static float Mean(ushort[]? map)
    {
        if (map is null)
            return 0;
        long sum = 0;
        foreach (var v in map)
            sum += v;
        return sum / (SurfaceMaps.One * map.Length);
    }

    private static IEnumerable<float> Probabilities(SurfaceMaps maps, RegionSurroundings colours, MarkRegion r)
    {
        var (most, mean, beside) = (new float[Told.Length], new float[Told.Length], new float[Told.Length]);
        var ring = colours.Ring(r);
        foreach (var c in Told)
        {
            if (maps[c] is not { } map)
                continue;
            long sum = 0;
            ushort greatest = 0;
            foreach (var i in r.Pixels)
            {
                sum += map[i];
                greatest = Math.Max(greatest, map[i]);
            }

            long round = 0;
            foreach (var i in ring)
                round += map[i];
            most[(int)c] = LogOdds(greatest / SurfaceMaps.One);
            mean[(int)c] = sum / (SurfaceMaps.One * r.Pixels.Count);
            beside[(int)c] = round / (SurfaceMaps.One * Math.Max(1, ring.Count));
        }

        return [.. most, .. mean, .. beside];
    }

    /// <summary>Within 0.0001 to 0.9999: beyond it a network's probability tells nothing more.</summary>
    private static float LogOdds(float p)
    {
        var q = Math.Clamp(p, 1e-4f, 1 - 1e-4f);
        return MathF.Log(q / (1 - q));
    }

    private static float[] Shape(SurfaceMaps maps, MarkRegion r, RegionRim rim, Func<Point2d, double> lineRad)
    {
        var at = r.Pixels.Select(i => maps.ToMm(i % maps.Width, i / maps.Width)).ToList();
        var (mu, mv) = (at.Average(p => p.X), at.Average(p => p.Y));
        var (uu, uv, vv) = (at.Average(p => (p.X - mu) * (p.X - mu)), at.Average(p => (p.X - mu) * (p.Y - mv)), at.Average(p => (p.Y - mv) * (p.Y - mv)));
        var axis = 0.5 * Math.Atan2(2 * uv, uu - vv);
        var root = Math.Sqrt(Math.Pow((uu - vv) / 2, 2) + (uv * uv));
        var (major, minor) = (Math.Sqrt(((uu + vv) / 2) + root), Math.Sqrt(Math.Max(0, ((uu + vv) / 2) - root)));
        var area = r.Pixels.Count / (maps.PitchPxPerMm * maps.PitchPxPerMm);
        var hull = Cv2.ContourArea(Cv2.ConvexHull(r.RimMm.Select(p => new Point2f((float)p.X, (float)p.Y))));
        var inside = at.ConvertAll(rim.Plane.InsideByMm);
        var (side, angle) = NearestSide(rim, new Point2d(mu, mv));
        var reached = Enumerable.Range(0, 4).Count(k => at.Any(p => DistanceTo(rim, k, p) < EdgeMm));
        return
        [
            (float)area, (float)r.Shape.LengthMm, (float)r.Shape.WidthMm, (float)r.Shape.DiameterMm, (float)r.Shape.LongestMm,
            (float)(area / Math.Max(0.3, r.Shape.LongestMm)), (float)(area / Math.Max(0.1, hull)), r.Parts, (float)(minor / Math.Max(0.05, major)),
            Turn(axis - lineRad(r.MiddleMm)), Turn(axis),
            (float)Math.Min(20, r.InsideMm), (float)Math.Min(20, inside.Average()), (float)inside.Count(d => d < EdgeMm) / inside.Count, Turn(axis - angle), reached,
        ];
    }

    /// <summary>0 along, 1 across.</summary>
    private static float Turn(double rad) => (float)Math.Abs(Math.Sin(rad));

    private static (int Side, double Rad) NearestSide(RegionRim rim, Point2d p)
    {
        var k = Enumerable.Range(0, 4).MinBy(i => DistanceTo(rim, i, p));
        var (a, b) = (rim.Plane.CornersMm[k], rim.Plane.CornersMm[(k + 1) % 4]);
        return (k, Math.Atan2(b.Y - a.Y, b.X - a.X));
    }

    private static double DistanceTo(RegionRim rim, int side, Point2d p)
    {
        var (a, b) = (rim.Plane.CornersMm[side], rim.Plane.CornersMm[(side + 1) % 4]);
        var (dx, dy) = (b.X - a.X, b.Y - a.Y);
        return Math.Abs((dx * (p.Y - a.Y)) - (dy * (p.X - a.X))) / Math.Sqrt((dx * dx) + (dy * dy));
    }

    private static float[] Company(MarkRegion r, IReadOnlyList<MarkRegion> all)
    {
        var (near, like, nearest) = (0, 0, NearMm);
        foreach (var o in all)
        {
            var apart = o.MiddleMm.DistanceTo(r.MiddleMm);
            if (ReferenceEquals(o, r) || apart >= NearMm)
                continue;
            near++;
            like += o.Class == r.Class ? 1 : 0;
            nearest = Math.Min(nearest, apart);
        }

        return [near, (float)nearest, like, all.Count];
    }
}
