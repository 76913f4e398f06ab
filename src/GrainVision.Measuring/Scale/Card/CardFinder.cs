using GrainVision.Grading.Cards;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Geometry;
using OpenCvSharp;
using OpenCvSharp.Aruco;

namespace GrainVision.Measuring.Scale.Card;

/// <summary>
/// Finds the printed card in a photo: places busy enough to be a chessboard first (<see cref="CardRegionProposer"/>), then markers there, and from them
/// the scale and perspective of the card's plane.
/// </summary>
/// <remarks>
/// Known to fail: glossy cards with glare over most of the board, cards narrower than about 200 px, tilts beyond 60 degrees.
/// A mirrored card is refused. Two cards in one photo: the better supported one gives the scale; two piece cards that say different things
/// sort the photo nowhere.
/// </remarks>
internal static class CardFinder
{
    /// <summary>700 px: a card that fills such a cutting shows its smallest cells 9 px wide, and its markers are read in a few milliseconds.</summary>
    private const int CuttingPx = 700;

    /// <summary>The dictionary that <see cref="CardMarkers"/> is the start of.</summary>
    internal const PredefinedDictionaryType MarkerDictionary = PredefinedDictionaryType.Dict4X4_50;

    /// <summary>2 markers agreeing in one plane: by chance a wood texture gives one id in a photo, never two in their right places.</summary>
    private const int LeastMarkers = 2;

    /// <param name="search">The photo's cards.</param>
    /// <param name="cancel">Checked between the places.</param>
    public static Outcome<PhotoScale> Find(CardSearch search, CancellationToken cancel)
    {
        for (var i = 0; i < search.Count; i++)
        {
            if (search.At(i, cancel) is not [var rough, ..] found)
                continue;
            if (!CardFit.Measure(search.Pyramid[0], rough).TryGet(out var scale, out var refusal))
                return refusal;

            // Which piece it is may only be said once no other card in the photo says otherwise.
            return scale.IsPieceCard ? Sorted(scale, search.Pyramid, Others(search, i + 1, found, cancel)) : scale;
        }

        for (var i = 0; i < search.Count; i++)
        {
            if (search.IsMirroredAt(i, cancel))
                return ScaleRefusals.CardMirrored();
        }

        return ScaleRefusals.CardNotFound();
    }

    /// <summary>Rough homographies from card mm to the photo's pixels of all the cards in a photo, plain and piece cards.</summary>
    public static List<Homography> FindAll(CardSearch search, CancellationToken cancel) => Others(search, 0, [], cancel);

    /// <summary>The cards found already and those in the places from <paramref name="from"/> on, each once.</summary>
    private static List<Homography> Others(CardSearch search, int from, IReadOnlyList<Homography> found, CancellationToken cancel)
    {
        List<Homography> all = [.. found];
        for (var i = from; i < search.Count; i++)
            all.AddRange(search.At(i, cancel).Where(map => !all.Exists(known => SameCard(known, map))));
        return all;
    }

    /// <summary>Two cards side by side are at least their height apart.</summary>
    private static bool SameCard(Homography a, Homography b)
    {
        var middle = new PointPx(CardDesign.WidthMm / 2, CardDesign.HeightMm / 2);
        return a.Inverse().Map(b.Map(middle)).DistanceTo(middle) < 0.8 * PieceCardDesign.HeightMm;
    }

    /// <summary>The scale with what the piece cards say together, or with a warning that they do not say it.</summary>
    private static PhotoScale Sorted(PhotoScale scale, GrayPyramid pyramid, List<Homography> cards)
    {
        var readings = cards.ConvertAll(rough => PieceCardReader.Read(pyramid[0], CardFit.Refine(pyramid[0], rough)?.Map ?? rough));
        return PieceCardReader.Together(readings).TryGet(out var card, out var refusal)
            ? scale with { Finding = scale.Finding with { Card = card } }
            : scale with { Finding = scale.Finding with { Card = null }, Warnings = [.. scale.Warnings, Unsorted(refusal)] };
    }

    private static Warning Unsorted(Refusal refusal) => new(
        refusal.Kind == RefusalCatalog.PieceCardsDisagree ? WarningCode.PieceCardsDisagree : WarningCode.PieceCardNotReadable, $"{refusal.Message} {refusal.Advice}");

    /// <summary>Cuts a place out at the finest level in which it is at most <see cref="CuttingPx"/> long and looks for cards there.</summary>
    internal static List<Homography> Look(GrayPyramid pyramid, Rect place, bool mirrored, Dictionary dictionary)
    {
        var level = 0;
        while (level < pyramid.Count - 1 && Math.Max(place.Width, place.Height) >> level > CuttingPx)
            level++;
        var picture = pyramid[level];
        var whole = new Rect(0, 0, picture.Width, picture.Height);
        var part = whole.Intersect(new Rect(place.X >> level, place.Y >> level, place.Width >> level, place.Height >> level));
        if (part.Width < 16 || part.Height < 16)
            return [];
        using var view = new Mat(picture, part);
        if (mirrored)
        {
            using var flipped = new Mat();
            Cv2.Flip(view, flipped, FlipMode.Y);
            return Look(flipped, dictionary);
        }

        // Pixel centres of a halved picture: x_photo = (x + 1/2) 2^level - 1/2.
        var k = 1 << level;
        var toPhoto = new Homography([k, 0, ((part.X + 0.5) * k) - 0.5, 0, k, ((part.Y + 0.5) * k) - 0.5, 0, 0, 1]);
        return Look(view, dictionary).ConvertAll(toPhoto.After);
    }

    /// <summary>Rough homographies from card mm to the picture's pixels, the best supported first; empty where no card shows.</summary>
    private static List<Homography> Look(Mat picture, Dictionary dictionary)
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

        var found = new List<Homography>();
        while (Agree(card, seen) is { } plane)
        {
            found.Add(plane);
            RemoveOn(plane, card, seen);
        }

        return found;
    }

    /// <summary>Takes out every marker that lies on a card, also those misplaced by blur: what is left may be another card.</summary>
    private static void RemoveOn(Homography plane, List<PointPx> card, List<PointPx> seen)
    {
        var mmFromPx = plane.Inverse();
        for (var i = card.Count - 4; i >= 0; i -= 4)
        {
            var at = mmFromPx.Map(seen[i]);
            if (at.X is < 0 or > CardDesign.WidthMm || at.Y is < 0 or > CardDesign.HeightMm)
                continue;
            card.RemoveRange(i, 4);
            seen.RemoveRange(i, 4);
        }
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
