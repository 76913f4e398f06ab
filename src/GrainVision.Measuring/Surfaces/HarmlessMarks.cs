using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Surfaces;

/// <summary>What harmless thing a mark is, and harmless marks that nothing took for a blemish.</summary>
internal static class HarmlessMarks
{
    /// <summary>0.25: below that mean probability no harmless class is named: it is wood that only looked odd.</summary>
    private const double Named = 0.25;

    /// <summary>0.5: what a harmless mark must reach to be listed where no blemish was looked for.</summary>
    private const double Sure = 0.5;

    /// <summary>Classes that are marks with a place of their own; the others are the look of whole stretches of wood.</summary>
    private static readonly MarkClass[] Placed = [MarkClass.Marking, MarkClass.Dirt];

    public static HarmlessKind KindOf(SurfaceMaps maps, MarkRegion region)
    {
        var (best, most) = (HarmlessKind.ClearWood, Named * SurfaceMaps.One);
        foreach (var c in MarkClasses.Harmless)
        {
            if (maps[c] is { } map && region.Pixels.Average(i => map[i]) is var mean && mean > most)
                (best, most) = (MarkClasses.Code(c), mean);
        }

        return best;
    }

    /// <summary>Marks of the shop and dirt that are no region of a blemish class, largest first.</summary>
    public static IEnumerable<MarkRegion> Find(SurfaceLook look)
    {
        var taken = look.Regions.SelectMany(r => r.Pixels).ToHashSet();
        return RegionFinder.Find(look.Maps, look.Rim, Placed, Sure).Where(r => !r.Pixels.Any(taken.Contains)).OrderByDescending(r => r.Pixels.Count);
    }
}
