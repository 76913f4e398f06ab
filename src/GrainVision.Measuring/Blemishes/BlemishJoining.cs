using GrainVision.Grading.Findings;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// Joins candidates that are pieces of one blemish: neighbours of one kind, or cracks. Pieces of different kinds stay apart, so that a check
/// beside a knot is never taken into the knot.
/// </summary>
internal static class BlemishJoining
{
    /// <summary>2 mm: pieces of one stain, crack or knot lie closer than this.</summary>
    private const double PieceMm = 2;

    /// <summary>12 mm: pin knots this close are one cluster, which counts as one knot (ANC-19 2.301); the distance is common practice, no source.</summary>
    private const double ClusterMm = 12;

    public static IReadOnlyList<NamedCandidate> Join(IReadOnlyList<NamedCandidate> named)
    {
        var group = Enumerable.Range(0, named.Count).ToArray();
        int Root(int i) => group[i] == i ? i : group[i] = Root(group[i]);
        for (var i = 0; i < named.Count; i++)
        {
            for (var k = 0; k < i; k++)
            {
                if (OneKind(named[i].Kind, named[k].Kind) && Apart(named[i].Candidate, named[k].Candidate, Reach(named[i].Kind)) <= Reach(named[i].Kind))
                    group[Root(i)] = Root(k);
            }
        }

        return [.. Enumerable.Range(0, named.Count).GroupBy(Root).OrderBy(g => g.Key).Select(g => One([.. g.Select(i => named[i])]))];
    }

    /// <summary>A check and a shake are both a crack, never allowed, and told apart poorly: pieces of one crack may be called either.</summary>
    private static bool OneKind(BlemishKind a, BlemishKind b) => a == b || (IsCrack(a) && IsCrack(b));

    private static bool IsCrack(BlemishKind kind) => kind is BlemishKind.Check or BlemishKind.ShakeOrSplit;

    private static double Reach(BlemishKind kind) => kind == BlemishKind.PinKnotCluster ? ClusterMm : PieceMm;

    /// <summary>Least distance between two rims, mm; looked at closely only where the boxes are within reach.</summary>
    private static double Apart(BlemishCandidate a, BlemishCandidate b, double reach)
    {
        var (middleA, middleB) = (a.MiddleMm, b.MiddleMm);
        if (middleA.DistanceTo(middleB) > reach + a.Shape.LongestMm + b.Shape.LongestMm)
            return double.MaxValue;
        var least = double.MaxValue;
        foreach (var p in a.RimMm)
        {
            foreach (var q in b.RimMm)
                least = Math.Min(least, p.DistanceTo(q));
        }

        return least;
    }

    private static NamedCandidate One(IReadOnlyList<NamedCandidate> pieces)
    {
        if (pieces.Count == 1)
            return pieces[0];
        var rim = Cv2.ConvexHull(pieces.SelectMany(p => p.Candidate.RimPx).ToArray());
        var rimMm = Cv2.ConvexHull(pieces.SelectMany(p => p.Candidate.RimMm).Select(p => new Point2f((float)p.X, (float)p.Y)).ToArray())
            .Select(p => new Point2d(p.X, p.Y)).ToArray();
        // The surest piece speaks for all: they are of one kind, or all cracks.
        var surest = pieces.MaxBy(p => p.Probability)!;
        var pad = surest.Candidate.PadMm;
        return new NamedCandidate(
            new BlemishCandidate(rim, Cv2.BoundingRect(rim), rimMm, BlemishShape.Of(rimMm, pad), pieces.Min(p => p.Candidate.InsideMm)) { Oddness = surest.Candidate.Oddness, PadMm = pad },
            surest.Probabilities);
    }
}
