using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using OpenCvSharp;
using OpenCvSharp.Aruco;

namespace GrainVision.Measuring.Scale;

/// <summary>
/// Finds the printed card in a photo: its markers at reduced resolution first, then at full resolution, and from them the
/// scale and perspective of the card's plane.
/// </summary>
/// <remarks>
/// Known to fail: glossy cards with glare over most of the board, cards narrower than about 200 px, tilts beyond 60 degrees.
/// A mirrored card is refused. Two cards in one photo: the ids repeat, the markers disagree, the better supported one wins.
/// </remarks>
internal static class CardFinder
{
    /// <summary>1,600 px: a card a quarter of the picture wide is then 400 px, and the search takes a fifth of the time it takes at 12 MP.</summary>
    private const int ReducedLongSidePx = 1600;

    /// <summary>2 markers agreeing in one plane: by chance a wood texture gives one id in a photo, never two in their right places.</summary>
    private const int LeastMarkers = 2;

    /// <param name="gray">The whole photo, 8-bit gray, upright.</param>
    /// <param name="cancel">Checked between the passes.</param>
    public static Outcome<PhotoScale> Find(Mat gray, CancellationToken cancel)
    {
        var shrink = Math.Min(1, ReducedLongSidePx / (double)Math.Max(gray.Width, gray.Height));
        using var dictionary = CvAruco.GetPredefinedDictionary(CardMarkers.DictionaryName);
        using var reduced = new Mat();
        if (shrink < 1)
            Cv2.Resize(gray, reduced, default, shrink, shrink, InterpolationFlags.Area);
        var first = shrink < 1 ? reduced : gray;

        if (Look(first, shrink, dictionary) is { } near)
            return CardFit.Measure(gray, near);
        cancel.ThrowIfCancellationRequested();
        if (shrink < 1 && Look(gray, 1, dictionary) is { } far)
            return CardFit.Measure(gray, far);
        cancel.ThrowIfCancellationRequested();

        using var mirrored = new Mat();
        Cv2.Flip(first, mirrored, FlipMode.Y);
        return Look(mirrored, shrink, dictionary) is null ? ScaleRefusals.CardNotFound() : ScaleRefusals.CardMirrored();
    }

    /// <summary>Rough homography from card mm to photo pixels, or null where no card shows.</summary>
    private static Homography? Look(Mat picture, double shrink, Dictionary dictionary)
    {
        var parameters = new DetectorParameters
        {
            // A side of a marker of at least about 10 px, whatever the picture's size: 40 px round it.
            MinMarkerPerimeterRate = Math.Min(0.03, 40.0 / Math.Max(picture.Width, picture.Height)),
            CornerRefinementMethod = CornerRefineMethod.Subpix,
            CornerRefinementWinSize = 3,
        };
        using var detector = new ArucoDetector(dictionary, parameters, new RefineParameters());
        detector.DetectMarkers(picture, out var corners, out var ids, out _);

        var card = new List<PointPx>();
        var seen = new List<PointPx>();
        for (var i = 0; i < ids.Length; i++)
        {
            if (ids[i] >= CardDesign.MarkerCount)
                continue;
            card.AddRange(CardDesign.MarkerCornersMm(ids[i]));
            seen.AddRange(corners[i].Select(c => new PointPx(c.X, c.Y)));
        }

        return Agree(card, seen, shrink);
    }

    /// <summary>The plane on which most of the markers agree.</summary>
    private static Homography? Agree(List<PointPx> card, List<PointPx> seen, double shrink)
    {
        if (card.Count < 4 * LeastMarkers)
            return null;

        // Each marker alone predicts all others roughly; the one with most support starts the fit.
        List<int> best = [];
        for (var start = 0; start < card.Count; start += 4)
        {
            if (HomographyFit.Fit(card.GetRange(start, 4), seen.GetRange(start, 4)) is not { } alone)
                continue;
            var support = Supporters(alone.Map, card, seen);
            if (support.Count > best.Count)
                best = support;
        }

        if (best.Count < 4 * LeastMarkers || HomographyFit.Fit(best.ConvertAll(i => card[i]), best.ConvertAll(i => seen[i])) is not { } fit)
            return null;

        // Pixel centres of a shrunk picture: x_full = (x + 1/2) / shrink - 1/2.
        var shift = (0.5 / shrink) - 0.5;
        return new Homography([1 / shrink, 0, shift, 0, 1 / shrink, shift, 0, 0, 1]).After(fit.Map);
    }

    private static List<int> Supporters(Homography map, List<PointPx> card, List<PointPx> seen)
    {
        var support = new List<int>();
        for (var i = 0; i < card.Count; i += 4)
        {
            var side = seen[i].DistanceTo(seen[i + 2]);
            // A homography from one small marker is shaky far away: a whole marker's diagonal of error is still the right square or its neighbour.
            if (Enumerable.Range(i, 4).All(j => map.Map(card[j]).DistanceTo(seen[j]) < side))
                support.AddRange(Enumerable.Range(i, 4));
        }

        return support;
    }
}
