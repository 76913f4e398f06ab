using GrainVision.Grading.Findings;

namespace GrainVision.Accuracy.Real;

/// <summary>A few real pictures whose figures may only get better (fixtures/real-gate.json). All figures are better when less.</summary>
public static class RealGate
{
    /// <summary>0.5°: most that one turned section counts; one without a slope counts half of it.</summary>
    private const double TurnCapDeg = 0.5;

    public static IReadOnlyDictionary<string, double> Measure()
    {
        var fixtures = new RealFixtures();
        var rings = RealPhotos.Rings(fixtures);
        var cracked = fixtures.Faces.Where(p => p.Split == "test" && p.Sure.Any(m => m.Kind == "crack"));
        var plain = fixtures.Faces.Where(p => p.Split == "test" && p.Unlabelled);
        var faces = RealFaces.Measure(fixtures, cracked.Concat(plain), workers: 1);
        var birch = new SurfaceTally();
        foreach (var p in fixtures.Sections.Where(p => !p.Clear))
            birch.Add(p, RealJob.Run(fixtures.Bytes(p.File), View.Face, p.WoodOutline(6), RealJob.SectionPitch).Found);

        List<Subject> quarter = [.. RealReport.Sections(fixtures).Where(s => s.RingAngleDeg is not null)];
        var turned = Consistency.Run(fixtures, quarter, [.. PictureChange.All.Take(1)], workers: 1)[0];
        return new SortedDictionary<string, double>(StringComparer.Ordinal)
        {
            ["realRingsMissed"] = rings is { } r ? 13 - r.Clear : 13,
            ["realRingsInvented"] = rings?.Invented ?? 13,
            ["realCracksMissed"] = faces.MissedCracks.Count + birch.MissedCracks.Count,
            ["realKnotsMissed"] = faces.Of("knot").All - faces.Of("knot").Found,
            ["realFalseMarks"] = faces.FalseKinds.Count + birch.FalseKinds.Count,
            ["realClearThoughMarked"] = faces.ClearThoughMarked.Count + birch.ClearThoughMarked.Count,
            ["realAccepted"] = faces.Accepted.Count + birch.Accepted.Count,
            ["realSlopeTurnsErrorDeg"] = Math.Round((turned.Slope.Sum(s => Math.Min(TurnCapDeg, Math.Abs(s.Difference))) + ((quarter.Count - turned.Slope.Count) * TurnCapDeg / 2)) / quarter.Count, 4),
        };
    }
}
