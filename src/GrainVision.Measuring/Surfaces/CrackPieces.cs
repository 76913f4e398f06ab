namespace GrainVision.Measuring.Surfaces;

/// <summary>
/// The pieces of one crack are asked about together: where one piece reaches the threshold, those that go on from it need half of it (hysteresis, J. Canny 1986). It never decides
/// whether a surface is clear, only how far a crack that is asked about is seen to run.
/// </summary>
internal static class CrackPieces
{
    /// <summary>0.5: share of the threshold that a further piece must reach.</summary>
    private const double Share = 0.5;

    /// <summary>5 mm: from end to end; on R. B. Hough's birch (fixtures/registry.json) a crack fades for three to four millimetres between its pieces.</summary>
    private const double GapMm = 5;

    /// <summary>The regions that a person is asked about.</summary>
    /// <param name="named">All of a surface.</param>
    /// <param name="decision">Says which are asked about by themselves.</param>
    public static IReadOnlySet<NamedRegion> WithAsked(IReadOnlyList<NamedRegion> named, SurfaceDecision decision)
    {
        var asked = named.Where(n => decision.Asks(n.Probabilities)).ToHashSet<NamedRegion>(ReferenceEqualityComparer.Instance);
        var pieces = named.Where(n => n.Region.Class == MarkClass.Crack && n.BlemishProbability >= Share * decision.AskFrom).ToList();
        var ends = new Queue<NamedRegion>(pieces.Where(asked.Contains));
        while (ends.TryDequeue(out var from))
        {
            foreach (var piece in pieces.Where(p => !asked.Contains(p) && Gap(from.Region, p.Region) <= GapMm))
            {
                asked.Add(piece);
                ends.Enqueue(piece);
            }
        }

        return asked;
    }

    private static double Gap(MarkRegion a, MarkRegion b) => a.MiddleMm.DistanceTo(b.MiddleMm) - ((a.Shape.LongestMm + b.Shape.LongestMm) / 2);
}
