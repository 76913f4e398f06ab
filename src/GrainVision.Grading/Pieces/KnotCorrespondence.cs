using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// Pairs marks of different faces that may be one blemish: a knot that goes through to the opposite face (ANC-19 2.301 averages
/// its diameters and counts it once), and anything that runs round an edge. No photo proves it, so a pair never makes an accept: it
/// only keeps the two from rejecting each other until a person has looked.
/// </summary>
internal static class KnotCorrespondence
{
    /// <summary>0.5: a knot may lean along the piece by half of what it goes through, 27° (common practice, no source).</summary>
    private const double Lean = 0.5;

    /// <summary>2 mm: a rim so near to the edge may run round it.</summary>
    private const double AtEdgeMm = 2;

    /// <summary>Pairs one to one, the nearest first; every mark has at most one mate.</summary>
    internal static IReadOnlyList<(PieceMark First, PieceMark Second)> Find(PieceGeometry geometry, IReadOnlyList<PieceMark> marks)
    {
        var pairs = new List<(PieceMark First, PieceMark Second)>();
        var taken = new HashSet<PieceMark>(ReferenceEqualityComparer.Instance);
        var possible = from i in Enumerable.Range(0, marks.Count)
                       from j in Enumerable.Range(i + 1, marks.Count - i - 1)
                       let pair = (First: marks[i], Second: marks[j])
                       where Through(geometry, pair.First, pair.Second) || RoundEdge(pair.First, pair.Second)
                       orderby Math.Abs(pair.First.StationMm!.Value.Value - pair.Second.StationMm!.Value.Value)
                       select pair;
        foreach (var pair in possible)
        {
            if (taken.Contains(pair.First) || taken.Contains(pair.Second))
                continue;
            taken.Add(pair.First);
            taken.Add(pair.Second);
            pairs.Add(pair);
        }

        return pairs;
    }

    private static bool Through(PieceGeometry geometry, PieceMark a, PieceMark b) =>
        PieceSurfaces.AreOpposite(a.Surface, b.Surface) && BlemishKinds.IsKnot(a.Finding.Kind) && BlemishKinds.IsKnot(b.Finding.Kind)
        && PieceMark.NearAlong(a, b, Lean * (a.Surface is Surface.Face1 or Surface.Face3 ? geometry.ThicknessMm : geometry.WidthMm));

    private static bool RoundEdge(PieceMark a, PieceMark b) =>
        PieceSurfaces.AreAdjacent(a.Surface, b.Surface) && a.Finding.EdgeDistanceMm <= AtEdgeMm && b.Finding.EdgeDistanceMm <= AtEdgeMm
        && PieceMark.NearAlong(a, b, 0);

}
