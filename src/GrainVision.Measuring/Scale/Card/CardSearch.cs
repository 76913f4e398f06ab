using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Intake;
using OpenCvSharp;
using OpenCvSharp.Aruco;

namespace GrainVision.Measuring.Scale.Card;

/// <summary>Cards found in a photo, so that the same photo is not searched again; for the same pipeline version only.</summary>
/// <param name="PipelineVersion">What found them.</param>
/// <param name="Places">Every place that was busy enough to be a card, and the cards there.</param>
public sealed record CardFindings(string PipelineVersion, IReadOnlyList<CardPlace> Places);

/// <summary>A place in a photo that is busy enough to be a card.</summary>
/// <param name="X">Left edge, px of the upright photo.</param>
/// <param name="Y">Top edge, px.</param>
/// <param name="Width">px.</param>
/// <param name="Height">px.</param>
/// <param name="Cards">Rough maps from card mm to px of the photo, nine numbers row by row, the best supported first.</param>
public sealed record CardPlace(int X, int Y, int Width, int Height, IReadOnlyList<IReadOnlyList<double>> Cards);

/// <summary>The search for cards in one photo: every place is looked at once, whoever asks and how often.</summary>
internal sealed class CardSearch : IDisposable
{
    private readonly Mat _gray = new();
    private readonly Dictionary _dictionary = CvAruco.GetPredefinedDictionary(CardFinder.MarkerDictionary);
    private readonly List<Rect> _places;
    private readonly List<Homography>?[] _found;

    /// <param name="photo">Only read; needed no longer than this call.</param>
    /// <param name="known">What was found in the same photo before; null, or of another pipeline version: everything is looked for.</param>
    public CardSearch(UprightPhoto photo, CardFindings? known = null)
    {
        Cv2.CvtColor(photo.Bgr, _gray, ColorConversionCodes.BGR2GRAY);
        Pyramid = new GrayPyramid(_gray, photo.WholeFocalPx);
        known = known?.PipelineVersion == PipelineVersion.Current ? known : null;
        _places = known is null ? CardRegionProposer.Find(Pyramid) : [.. known.Places.Select(p => new Rect(p.X, p.Y, p.Width, p.Height))];
        _found = new List<Homography>?[_places.Count];
        for (var i = 0; i < known?.Places.Count; i++)
            _found[i] = [.. known.Places[i].Cards.Select(c => new Homography([.. c]))];
    }

    /// <summary>The photo in gray.</summary>
    public GrayPyramid Pyramid { get; }

    /// <summary>How many places there are.</summary>
    public int Count => _places.Count;

    /// <summary>Rough homographies from card mm to the photo's pixels in one place, the best supported first.</summary>
    public IReadOnlyList<Homography> At(int place, CancellationToken cancel)
    {
        cancel.ThrowIfCancellationRequested();
        return _found[place] ??= CardFinder.Look(Pyramid, _places[place], mirrored: false, _dictionary);
    }

    /// <summary>True where a mirrored card lies in a place.</summary>
    public bool IsMirroredAt(int place, CancellationToken cancel)
    {
        cancel.ThrowIfCancellationRequested();
        return CardFinder.Look(Pyramid, _places[place], mirrored: true, _dictionary).Count > 0;
    }

    /// <summary>All that there is to find.</summary>
    public CardFindings Findings(CancellationToken cancel) => new(
        PipelineVersion.Current,
        [.. _places.Select((p, i) => new CardPlace(p.X, p.Y, p.Width, p.Height, [.. At(i, cancel).Select(map => map.RowMajor)]))]);

    public void Dispose()
    {
        Pyramid.Dispose();
        _gray.Dispose();
        _dictionary.Dispose();
    }
}
