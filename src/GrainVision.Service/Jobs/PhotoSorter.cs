using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Deliveries;

namespace GrainVision.Service.Jobs;

/// <summary>Where a photo was found to belong.</summary>
internal sealed record SortedPlace(PhotoPlace Place, SortedBy By);

/// <summary>
/// Says where a photo belongs: by the piece card in the picture, else by its file name, else by the manifest. Where two of them
/// disagree nobody guesses: a finding on the wrong piece is a wrong accept in the making.
/// </summary>
internal static class PhotoSorter
{
    /// <summary>The place, or a refusal that says why a person must assign the photo.</summary>
    /// <param name="fileName">As sent.</param>
    /// <param name="card">What the card in the picture says; null where there is none, or none that can be read.</param>
    /// <param name="manifest">What the manifest says; null where it says nothing.</param>
    /// <param name="pieces">Numbers of the delivery's pieces.</param>
    public static Outcome<SortedPlace> Sort(string fileName, PieceCard? card, PhotoPlace? manifest, IReadOnlySet<int> pieces)
    {
        var name = PhotoName.Read(fileName);
        var said = new List<SortedPlace>();
        if (card is { } c)
            said.Add(new SortedPlace(new PhotoPlace(c.PieceNumber, c.Surface), SortedBy.Card));
        if (name is not null)
            said.Add(new SortedPlace(name, SortedBy.Name));
        if (manifest is not null)
            said.Add(new SortedPlace(manifest, SortedBy.Manifest));
        if (said.Count == 0)
            return RefusalCatalog.PhotoUnsorted.Because("Neither a piece card in the picture nor the file name nor a manifest says where this photo belongs.");
        var first = said[0];
        if (said.Find(s => s.Place.PieceNumber != first.Place.PieceNumber || s.Place.Surface != first.Place.Surface) is { } other)
            return RefusalCatalog.PhotoPlacesDisagree.Because($"{Say(first)}, but {Say(other)}.");
        // A card says nothing of the station; whatever else agrees with it may.
        var stations = said.Where(s => s.Place.StationMm is not null || s.Place.WholeFace).ToList();
        if (stations.Find(s => s.Place.StationMm != stations[0].Place.StationMm || s.Place.WholeFace != stations[0].Place.WholeFace) is not null)
            return RefusalCatalog.PhotoPlacesDisagree.Because("The file name and the manifest give different stations.");
        var place = stations.Count > 0 ? stations[0].Place : first.Place;
        return pieces.Contains(place.PieceNumber)
            ? new SortedPlace(place, first.By)
            : RefusalCatalog.PieceUnknown.Because($"{Say(first)}, but this delivery has no piece {place.PieceNumber}.", "Look at the photo and say which piece and surface it shows, or send a manifest that names it.");
    }

    private static string Say(SortedPlace said)
    {
        var source = said.By switch { SortedBy.Card => "The card", SortedBy.Name => "The file name", _ => "The manifest" };
        return $"{source} says piece {said.Place.PieceNumber}, {SurfaceWords.From(said.Place.Surface)}";
    }
}
