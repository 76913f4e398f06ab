using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>
/// Connected places of each class: they grow down to a low probability and count where they reach a higher one (hysteresis, J. Canny 1986), and their
/// rim lies at half of their own peak. One place is one region: what a likelier class covers is not told twice.
/// </summary>
internal static class RegionFinder
{
    /// <summary>0.1: down to which a region grows; half of <see cref="Seed"/>.</summary>
    public const double Grow = 0.1;

    /// <summary>0.2: what a region must reach. Low on purpose: whether it is asked about is decided later, with more to go by.</summary>
    public const double Seed = 0.2;

    /// <summary>0.5: what a stain must reach. Below it nine in ten are wood that is darker here and lighter there, hundreds on one surface (330 drawn surfaces).</summary>
    private const double StainSeed = 0.5;

    /// <summary>0.5: share of a region's pixels that a likelier class must cover for it to be the same place.</summary>
    private const double Same = 0.5;

    /// <summary>0.5 mm: how far outside the outline a mark may begin; an outline is no truer.</summary>
    private const double BeyondMm = 0.5;

    /// <summary>1.3 mm: pieces of one crack lie closer than this.</summary>
    private const double CrackGapMm = 1.3;

    /// <summary>2 pixels of a map, 0.2 mm2: less is noise.</summary>
    private const int LeastPixels = 2;

    /// <summary>Regions of some classes that reach a probability, strongest first.</summary>
    public static IReadOnlyList<MarkRegion> Find(SurfaceMaps maps, RegionRim rim, IReadOnlyList<MarkClass> classes, double seed = Seed)
    {
        var inside = Inside(maps, rim);
        var found = new List<MarkRegion>();
        foreach (var c in classes)
        {
            if (maps[c] is { } map)
                found.AddRange(OfClass(maps, map, c, inside, rim, (ushort)(seed * SurfaceMaps.One)));
        }

        var single = WithoutRepeats(maps, [.. found.OrderByDescending(r => r.Peak).ThenByDescending(r => r.Pixels.Count).ThenBy(r => r.Pixels[0])]);
        return PinKnots.Join(single, rim);
    }

    public static bool IsFaintStain(MarkRegion region) => region.Class == MarkClass.Stain && region.Peak < StainSeed;

    /// <summary>255 inside the section and half a millimetre beyond.</summary>
    private static byte[] Inside(SurfaceMaps maps, RegionRim rim)
    {
        using var mask = new Mat(maps.Height, maps.Width, MatType.CV_8UC1, Scalar.All(0));
        Point[] corners = [.. rim.Plane.CornersMm.Select(maps.FromMm).Select(p => new Point((int)Math.Round(p.X), (int)Math.Round(p.Y)))];
        Cv2.FillConvexPoly(mask, corners, Scalar.All(255));
        var side = (2 * (int)Math.Round(BeyondMm * maps.PitchPxPerMm)) + 1;
        using var square = Cv2.GetStructuringElement(MorphShapes.Rect, new Size(side, side));
        Cv2.Dilate(mask, mask, square);
        mask.GetArray(out byte[] values);
        return values;
    }

    private static List<MarkRegion> OfClass(SurfaceMaps maps, ushort[] map, MarkClass c, byte[] inside, RegionRim rim, ushort seed)
    {
        var gap = c == MarkClass.Crack ? (int)Math.Floor(CrackGapMm * maps.PitchPxPerMm / 2) : 0;
        var grow = (ushort)(Grow * SurfaceMaps.One);
        var mask = new byte[map.Length];
        var any = false;
        for (var i = 0; i < map.Length; i++)
        {
            if (map[i] >= grow && inside[i] != 0)
                (mask[i], any) = (255, true);
        }

        if (!any)
            return [];
        // First as far as they grow, then down to half of the peak: two knots whose outskirts touch are two.
        foreach (var part in Parts(maps, mask, gap))
        {
            var most = Most(map, part);
            foreach (var i in part)
                mask[i] = map[i] >= most / 2 && most >= seed ? (byte)255 : (byte)0;
        }

        var regions = new List<MarkRegion>();
        foreach (var part in Parts(maps, mask, gap))
        {
            var most = Most(map, part);
            if (part.Count < LeastPixels || most < seed)
                continue;
            if (rim.Of(map, part, most / 2f) is { } region)
                regions.Add(region with { Class = c, Peak = most / SurfaceMaps.One });
        }

        return regions;
    }

    private static ushort Most(ushort[] map, List<int> part)
    {
        ushort most = 0;
        foreach (var i in part)
            most = Math.Max(most, map[i]);
        return most;
    }

    /// <summary>8-connected parts of a mask; parts within twice <paramref name="gap"/> pixels of each other are one.</summary>
    private static List<List<int>> Parts(SurfaceMaps maps, byte[] mask, int gap)
    {
        using var mat = Mat.FromPixelData(maps.Height, maps.Width, MatType.CV_8UC1, mask);
        using var linked = new Mat();
        if (gap > 0)
        {
            using var square = Cv2.GetStructuringElement(MorphShapes.Rect, new Size((2 * gap) + 1, (2 * gap) + 1));
            Cv2.Dilate(mat, linked, square);
        }

        using var labels = new Mat();
        var count = Cv2.ConnectedComponents(gap > 0 ? linked : mat, labels, PixelConnectivity.Connectivity8, MatType.CV_32S);
        labels.GetArray(out int[] label);
        var parts = new List<int>[count];
        for (var i = 0; i < mask.Length; i++)
        {
            if (mask[i] != 0)
                (parts[label[i]] ??= []).Add(i);
        }

        return [.. parts.Where(p => p is not null)];
    }

    /// <summary>
    /// A region is left out where likelier ones cover most of it. A crack is left out only where a crack, knot, hole or pocket does: on a stain or along the pith it is a mark of its own.
    /// </summary>
    private static List<MarkRegion> WithoutRepeats(SurfaceMaps maps, IReadOnlyList<MarkRegion> regions)
    {
        var taken = new int[maps.Width * maps.Height];
        var kept = new List<MarkRegion>();
        foreach (var r in regions)
        {
            var covered = r.Pixels.Count(i => taken[i] != 0 && (r.Class != MarkClass.Crack || kept[taken[i] - 1].Class <= MarkClass.Hole));
            if (covered >= Same * r.Pixels.Count)
                continue;
            kept.Add(r);
            foreach (var i in r.Pixels)
            {
                if (taken[i] == 0)
                    taken[i] = kept.Count;
            }
        }

        return kept;
    }
}
