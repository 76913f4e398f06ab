using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// Where along a piece the slope of grain breaks a limit: window by window where the photo gives them, else photo by photo. A whole piece is rejected for
/// its worst window; a length that leaves that window out is judged by what lies in it.
/// </summary>
/// <remarks>
/// Windows of adjacent faces combine only where they lie beside each other (ANC-19 2.3022 combines the slopes at one place). What cannot be placed counts
/// for the whole piece, and a photo's outer eighths, which no window tells apart, for the whole photo.
/// </remarks>
internal static class SlopeStretches
{
    /// <summary>1e-9: two slopes are one number but for rounding.</summary>
    private const double Rounding = 1e-9;

    /// <summary>Stretches in which the limit is broken, intervals and all; margins by the photos' stations included.</summary>
    internal static IEnumerable<Stretch> Broken(JoinedPiece joined, Limit limit)
    {
        var windows = joined.Faces.ToDictionary(f => f.Key, f => Windows(joined, f.Value).ToList());
        foreach (var (surface, window) in windows.SelectMany(w => w.Value.Select(x => (w.Key, x))))
        {
            var alone = LimitJudge.Evaluate(limit, joined.Faces[surface].Joined with { Grain = window.Grain });
            if (alone.Reasons.Any(r => r.Outcome == VerdictOutcome.Reject))
                yield return window.Stretch;
        }

        foreach (var (a, b) in PieceSurfaces.AdjacentFaces)
        {
            foreach (var one in windows.GetValueOrDefault(a) ?? [])
            {
                foreach (var two in (windows.GetValueOrDefault(b) ?? []).Where(w => w.Stretch.Touches(one.Stretch)))
                {
                    if (Combined(limit, joined.Species, one.Grain, two.Grain))
                        yield return new Stretch(Math.Max(one.Stretch.FromMm, two.Stretch.FromMm), Math.Min(one.Stretch.ToMm, two.Stretch.ToMm));
                }
            }
        }
    }

    private static bool Combined(Limit limit, string? species, GrainFinding one, GrainFinding two) => limit switch
    {
        SlopeOfGrain l => LimitJudge.CombinedSlope(l, species, one, two).Outcome == VerdictOutcome.Reject,
        SlopeOuterPart l => LimitJudge.CombinedSlope(l, one, two).Outcome == VerdictOutcome.Reject || LimitJudge.CombinedSlope(l, two, one).Outcome == VerdictOutcome.Reject,
        _ => false,
    };

    private static IEnumerable<(Stretch Stretch, GrainFinding Grain)> Windows(JoinedPiece joined, JoinedFace face)
    {
        // Ring lines that the ends contradict show no fibres (JoinedFace): then the face as a whole has no slope and the cover says so.
        if (face.Joined.Grain is null)
            yield break;
        var angle = FaceRingAngle.Compute(face.Surface, joined.Geometry.Square, joined.Ends.Values.SelectMany(e => e));
        foreach (var photo in face.Photos.Where(p => JoinedFace.ShowsGrain(p, angle)))
        {
            var grain = photo.Measurement.Grain!;
            var whole = Widest(joined.Geometry, photo);
            var placed = Placed(joined.Geometry, photo, grain);
            foreach (var (stretch, slope) in placed)
                yield return (stretch, grain with { Slope = slope, OneIn = OneIn.From(slope), WorstWindow = slope, Along = null });
            // What no window tells of has the photo's worst.
            foreach (var gap in Stretch.Gaps(whole, placed.Select(p => p.Stretch)))
                yield return (gap, grain);
        }
    }

    /// <summary>Windows at their widest; none where they do not hold the photo's own worst, for then they are not what it was judged by.</summary>
    private static List<(Stretch Stretch, Measured Slope)> Placed(PieceGeometry geometry, PlacedMeasurement photo, GrainFinding grain)
    {
        if (grain.Along is not { Count: > 0 } along || !along.All(w => GuardedAcceptance.IsUsable(w.Slope) && w.ToMm > w.FromMm)
            || !GuardedAcceptance.IsUsable(grain.WorstWindow)
            || along.Max(w => w.Slope.Magnitude().High) < grain.WorstWindow.Magnitude().High - Rounding)
            return [];
        var placed = new List<(Stretch, Measured)>();
        foreach (var window in along)
        {
            if (geometry.StationOf(photo, window.FromMm) is not { } from || geometry.StationOf(photo, window.ToMm) is not { } to)
                return [];
            placed.Add((new Stretch(Math.Min(from.Low, to.Low), Math.Max(from.High, to.High)), window.Slope));
        }

        return placed;
    }

    /// <summary>All that a photo may show; the whole piece where it cannot be placed.</summary>
    private static Stretch Widest(PieceGeometry geometry, PlacedMeasurement photo)
    {
        var whole = new Stretch(0, geometry.LengthMm);
        if (photo.Measurement.Size is not { } size || !GuardedAcceptance.IsUsable(size.FirstSideMm) || size.FirstSideMm.Value <= 0
            || geometry.StationOf(photo, 0) is not { } one || geometry.StationOf(photo, size.FirstSideMm.High) is not { } two)
            return whole;
        return new Stretch(Math.Max(0, Math.Min(one.Low, two.Low)), Math.Min(geometry.LengthMm, Math.Max(one.High, two.High)));
    }
}
