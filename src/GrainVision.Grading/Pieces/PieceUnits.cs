using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// Photos of a piece whose rule was read as millimetres by custom alone. The piece's stated size settles it where the photo shows that size: read as
/// millimetres, a rule with 20 parts to the inch makes a piece a fifth too small, one with 30 a fifth too large.
/// </summary>
internal static class PieceUnits
{
    /// <summary>
    /// 0.08: half of the least difference between a millimetre and another graduation of fives and tens (1/30 in is 0.847 mm). Stock measured within it is
    /// of the stated size; planed stock, an eighth under its quarters, is not, and is held.
    /// </summary>
    private const double SizeWithin = 0.08;

    /// <summary>One reason for each photo that nothing settles.</summary>
    internal static IEnumerable<Reason> Reasons(JoinedPiece joined)
    {
        var hold = AssumedUnit.Hold();
        return Doubtful(joined).Select(p => hold with
        {
            Text = $"{PieceSurfaces.From(p.Place.Surface)}: {hold.Text}",
            Surface = p.Place.Surface,
            Photo = p.Measurement.Photo.Sha256,
        });
    }

    /// <summary>The same reasons, a reject that rests on such a photo held.</summary>
    internal static IEnumerable<Reason> Soften(JoinedPiece joined, IEnumerable<Reason> reasons)
    {
        var surfaces = Doubtful(joined).Select(p => p.Place.Surface).ToHashSet();
        return reasons.Select(r => surfaces.Count > 0 && (r.Surface is not { } surface || surfaces.Contains(surface)) ? AssumedUnit.Soften(r) : r);
    }

    private static List<PlacedMeasurement> Doubtful(JoinedPiece joined) =>
        [.. joined.Photos.Where(p => p.Measurement.Scale.IsUnitAssumed && !HasStatedSize(joined.Geometry, p))];

    private static bool HasStatedSize(PieceGeometry geometry, PlacedMeasurement photo)
    {
        if (photo.Measurement.Size is not { } size)
            return false;
        return PieceSurfaces.IsEnd(photo.Place.Surface)
            ? Is(size.FirstSideMm, geometry.WidthMm) && Is(size.SecondSideMm, geometry.ThicknessMm)
            : Is(size.SecondSideMm, geometry.AcrossMm(photo.Place.Surface));
    }

    private static bool Is(Measured seen, double statedMm) => GuardedAcceptance.IsUsable(seen) && Math.Abs((seen.Value / statedMm) - 1) <= SizeWithin;
}
