using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>A photo that cannot be where it is said to be, and why.</summary>
internal sealed record MisplacedPhoto(PlacedMeasurement Photo, CannotSay Why);

/// <summary>
/// Photos of a piece that can be where they are said to be. One that cannot is left out and said: evidence on the wrong surface
/// would let an unseen one pass.
/// </summary>
internal static class PhotoSorting
{
    /// <summary>1.5: from this ratio of width to thickness on, the measured width tells a wide face from a narrow one.</summary>
    private const double ToldApartFrom = 1.5;

    private const string Assign = "Assign the photo to its surface by hand, or take it again with the piece card beside it.";

    internal static (IReadOnlyList<PlacedMeasurement> Photos, IReadOnlyList<MisplacedPhoto> Misplaced) Sort(
        Piece piece, PieceGeometry geometry, IReadOnlyList<PlacedMeasurement> photos)
    {
        if (photos.Any(p => p.Place.PieceNumber != piece.Number))
            throw new ArgumentException($"Photos of another piece than {piece.Number}.", nameof(photos));
        var (good, misplaced) = (new List<PlacedMeasurement>(), new List<MisplacedPhoto>());
        foreach (var same in photos.GroupBy(p => p.Measurement.Photo.Sha256, StringComparer.Ordinal))
        {
            var photo = same.First();
            var why = same.Select(p => p.Place).Distinct().Count() > 1 ? "the same photo is assigned to more than one place" : WhyNot(geometry, photo);
            if (why is null)
                good.Add(photo);
            else
                misplaced.Add(new MisplacedPhoto(photo, new CannotSay(CannotSayTopic.PhotoPlace, $"{PieceSurfaces.From(photo.Place.Surface)}, photo {Short(photo)}: {why}", Assign)));
        }

        return (InOrder(good), misplaced);
    }

    /// <summary>By surface, station and hash: a total order, so that the order of arrival changes nothing.</summary>
    internal static IReadOnlyList<PlacedMeasurement> InOrder(IEnumerable<PlacedMeasurement> photos) =>
        [.. photos.OrderBy(p => p.Place.Surface).ThenBy(p => p.Place.StationMm ?? 0).ThenBy(p => p.Measurement.Photo.Sha256, StringComparer.Ordinal)];

    /// <summary>First eight digits of the photo's SHA-256: enough to find it in a delivery.</summary>
    internal static string Short(PlacedMeasurement photo) => photo.Measurement.Photo.Sha256 is { Length: > 8 } sha ? sha[..8] : photo.Measurement.Photo.Sha256;

    private static string? WhyNot(PieceGeometry geometry, PlacedMeasurement photo)
    {
        if (photo.Place.View != photo.Measurement.View)
            return $"it was measured as {(photo.Measurement.View == View.End ? "an end" : "a face")}";
        if (photo.Place.View == View.End || photo.Measurement.Size is not { } size || !GuardedAcceptance.IsUsable(size.SecondSideMm))
            return null;
        if (photo.Place.WholeFace && geometry.Shown(photo) != new Stretch(0, geometry.LengthMm) && GuardedAcceptance.IsUsable(size.FirstSideMm))
            return $"it is said to show the whole face and shows {size.FirstSideMm.Value:0} mm of {geometry.LengthMm:0}";
        var (wide, narrow) = (geometry.WidthMm, geometry.ThicknessMm);
        if (wide / narrow < ToldApartFrom || size.SecondSideMm.Value <= 0)
            return null;
        // Nearer to the width or to the thickness, as a ratio: rough stock is off its nominal size by a few percent either way.
        var looksWide = size.SecondSideMm.Value * size.SecondSideMm.Value > wide * narrow;
        var saidWide = photo.Place.Surface is Surface.Face1 or Surface.Face3;
        return looksWide == saidWide ? null : $"it is {size.SecondSideMm.Value:0} mm wide, as a {(looksWide ? "wide" : "narrow")} face of this piece is";
    }
}
