using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using OpenCvSharp;
using OpenCvSharp.Aruco;

namespace GrainVision.Measuring.Scale;

/// <summary>
/// Finds the printed card in a photo: places busy enough to be a chessboard first (<see cref="CardSeeker"/>), then markers there, and from them
/// the scale and perspective of the card's plane.
/// </summary>
/// <remarks>
/// Known to fail: glossy cards with glare over most of the board, cards narrower than about 200 px, tilts beyond 60 degrees.
/// A mirrored card is refused. Two cards in one photo: the ids repeat, the markers disagree, the better supported one wins.
/// </remarks>
internal static class CardFinder
{
    /// <summary>700 px: a card that fills such a cutting shows its smallest cells 9 px wide, and its markers are read in a few milliseconds.</summary>
    private const int CuttingPx = 700;

    /// <summary>2 markers agreeing in one plane: by chance a wood texture gives one id in a photo, never two in their right places.</summary>
    private const int LeastMarkers = 2;

    /// <param name="pyramid">The whole photo, 8-bit gray, upright.</param>
    /// <param name="cancel">Checked between the places.</param>
    public static Outcome<PhotoScale> Find(GrayPyramid pyramid, CancellationToken cancel)
    {
        using var dictionary = CvAruco.GetPredefinedDictionary(CardMarkers.DictionaryName);
        var places = CardSeeker.Find(pyramid);
        foreach (var place in places)
        {
            cancel.ThrowIfCancellationRequested();
            if (Look(pyramid, place, false, dictionary) is { } rough)
                return CardFit.Measure(pyramid[0], rough);
        }

        foreach (var place in places)
        {
            cancel.ThrowIfCancellationRequested();
            if (Look(pyramid, place, true, dictionary) is not null)
                return ScaleRefusals.CardMirrored();
        }

        return ScaleRefusals.CardNotFound();
    }

    /// <summary>Cuts a place out at the finest level in which it is at most <see cref="CuttingPx"/> long and looks for the card there.</summary>
    private static Homography? Look(GrayPyramid pyramid, Rect place, bool mirrored, Dictionary dictionary)
    {
        var level = 0;
        while (level < pyramid.Count - 1 && Math.Max(place.Width, place.Height) >> level > CuttingPx)
            level++;
        var picture = pyramid[level];
        var whole = new Rect(0, 0, picture.Width, picture.Height);
        var part = whole.Intersect(new Rect(place.X >> level, place.Y >> level, place.Width >> level, place.Height >> level));
        if (part.Width < 16 || part.Height < 16)
            return null;
        using var view = new Mat(picture, part);
        if (!mirrored)
        {
            if (Look(view, dictionary) is not { } map)
                return null;

            // Pixel centres of a halved picture: x_photo = (x + 1/2) 2^level - 1/2.
            var k = 1 << level;
            return new Homography([k, 0, ((part.X + 0.5) * k) - 0.5, 0, k, ((part.Y + 0.5) * k) - 0.5, 0, 0, 1]).After(map);
        }

        using var flipped = new Mat();
        Cv2.Flip(view, flipped, FlipMode.Y);
        return Look(flipped, dictionary);
    }

    /// <summary>Rough homography from card mm to the picture's pixels, or null where no card shows.</summary>
    private static Homography? Look(Mat picture, Dictionary dictionary)
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

        return Agree(card, seen);
    }

    /// <summary>The plane on which most of the markers agree.</summary>
    private static Homography? Agree(List<PointPx> card, List<PointPx> seen)
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

        return best.Count < 4 * LeastMarkers
            ? null
            : HomographyFit.Fit(best.ConvertAll(i => card[i]), best.ConvertAll(i => seen[i]))?.Map;
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
