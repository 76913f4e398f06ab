using GrainVision.Grading.Findings;
using GrainVision.Grading.Lumber;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>Joins the photos of one piece into its findings: both ends, faces side by side along the length, blemishes counted once.</summary>
/// <remarks>
/// The worst inch of either end governs (ANC-19 2.413). The true slope is the root of the sum of squares of two adjacent faces (ANC-19
/// 2.3022, MIL-DTL-6070C). A knot on opposite faces counts once with the average of its sizes (ANC-19 2.301, 2.4201).
/// </remarks>
public static class PieceJoiner
{
    /// <summary>What all photos of a piece say together. Photos of one piece only; their order changes nothing.</summary>
    /// <param name="piece">The piece, nominal sizes.</param>
    /// <param name="photos">Measured photos and where they belong. One that cannot be where it is said to be is left out and said.</param>
    /// <exception cref="ArgumentException">A photo of another piece.</exception>
    public static PieceFindings Join(Piece piece, IReadOnlyList<PlacedMeasurement> photos)
    {
        ArgumentNullException.ThrowIfNull(piece);
        ArgumentNullException.ThrowIfNull(photos);
        return Findings(JoinedPiece.From(piece, photos, []));
    }

    internal static PieceFindings Findings(JoinedPiece joined) => new()
    {
        Photos = joined.AllPhotos,
        NotShown = [.. PieceSurfaces.All.Where(s => !joined.Ends.ContainsKey(s) && !joined.Faces.ContainsKey(s))],
        WorstInch = Least(EndPhotos(joined, CannotSayTopic.Rings).Select(e => e.Rings?.WorstInch).OfType<Measured>()),
        RingAngleDegrees = Least(EndPhotos(joined, CannotSayTopic.RingAngle).Select(e => e.RingAngle?.Degrees).OfType<Measured>()),
        CombinedSlope = CombinedSlope(joined),
        Blemishes = [.. Blemishes(joined)],
        CannotSay = [.. CannotSay(joined)],
    };

    private static IEnumerable<Measurement> EndPhotos(JoinedPiece joined, CannotSayTopic topic) =>
        joined.Ends.Values.SelectMany(e => e).Where(m => CannotSayReasons.Find(m, topic) is null);

    /// <summary>Interval of the least of them: least value, least low end, least high end.</summary>
    private static Measured? Least(IEnumerable<Measured> all)
    {
        var usable = all.Where(GuardedAcceptance.IsUsable).ToList();
        return usable.Count == 0 ? null : new Measured(usable.Min(m => m.Value), usable.Min(m => m.Low), usable.Min(m => m.High), usable.Min(m => m.Level));
    }

    private static Measured? CombinedSlope(JoinedPiece joined)
    {
        var pairs = new List<Measured>();
        foreach (var (a, b) in PieceSurfaces.AdjacentFaces)
        {
            if (joined.Faces.GetValueOrDefault(a)?.Joined.Grain is not { } one || joined.Faces.GetValueOrDefault(b)?.Joined.Grain is not { } two
                || (one.Basis != GrainBasis.FibreStreaks && two.Basis != GrainBasis.FibreStreaks))
                continue;
            var (x, y) = (SlopeJudge.Steepest(one, out _), SlopeJudge.Steepest(two, out _));
            if (GuardedAcceptance.IsUsable(x) && GuardedAcceptance.IsUsable(y))
                pairs.Add(GrainSlope.Combined(x, y));
        }

        return pairs.Count == 0 ? null : new Measured(pairs.Max(p => p.Value), pairs.Max(p => p.Low), pairs.Max(p => p.High), pairs.Min(p => p.Level));
    }

    private static IEnumerable<PieceBlemish> Blemishes(JoinedPiece joined)
    {
        var done = new HashSet<PieceMark>(ReferenceEqualityComparer.Instance);
        foreach (var mark in joined.Marks)
        {
            if (!done.Add(mark))
                continue;
            var mate = joined.MateOf(mark);
            if (mate is not null)
                done.Add(mate);
            yield return Blemish(mate is null ? [mark] : [mark, mate]);
        }
    }

    private static PieceBlemish Blemish(IReadOnlyList<PieceMark> marks)
    {
        var likeliest = marks.MaxBy(m => m.Finding.Probability)!.Finding;
        var through = marks.Count == 2 && PieceSurfaces.AreOpposite(marks[0].Surface, marks[1].Surface);
        var station = marks.Select(m => m.StationMm).OfType<Measured>().ToList();
        var sightings = marks.SelectMany(m => m.Sightings.Select(s => (m.Surface, s.Photo.Measurement.Photo.Sha256))).ToList();
        var middle = station.Count == 0 ? (double?)null : station.Average(s => s.Value);
        return new PieceBlemish(
            likeliest.Kind,
            likeliest.Probability,
            middle,
            Size(marks, m => m.Finding.SizeMm, through),
            Size(marks, m => m.Finding.DiameterMm, through),
            marks.Max(m => m.Finding.LengthMm),
            marks.Min(m => m.Finding.EdgeDistanceMm),
            [.. sightings.Select(s => s.Surface)],
            [.. sightings.Select(s => s.Sha256)])
        {
            StationUncertaintyMm = middle is { } mm ? station.Max(s => Math.Max(s.High - mm, mm - s.Low)) : 0,
            WidthMm = marks.Max(m => m.Finding.WidthMm),
        };
    }

    /// <summary>Average of the two faces of a knot that goes through, else the larger.</summary>
    private static Measured Size(IReadOnlyList<PieceMark> marks, Func<PieceMark, Measured> size, bool through)
    {
        var all = marks.Select(size).ToList();
        return through
            ? new Measured(all.Average(s => s.Value), all.Average(s => s.Low), all.Average(s => s.High), all.Min(s => s.Level))
            : all.MaxBy(s => s.Value);
    }

    private static IEnumerable<CannotSay> CannotSay(JoinedPiece joined)
    {
        foreach (var mark in joined.Marks.Where(m => m.StationMm is null))
        {
            yield return new CannotSay(
                CannotSayTopic.PlaceAlongPiece, $"the station of the photo of {PieceSurfaces.From(mark.Surface).ToLowerInvariant()} that shows a {BlemishWords.From(mark.Finding.Kind)} is not known",
                "Measure from end A to the blemish, or give the photo's station.");
        }

        foreach (var face in joined.Faces.Values.Where(f => f.Photos.Any(p => joined.Geometry.Shown(p) is null)))
        {
            yield return new CannotSay(
                CannotSayTopic.PlaceAlongPiece, $"a photo of {PieceSurfaces.From(face.Surface).ToLowerInvariant()} has no station, or its length is not known, so it covers no stretch of the face",
                "Give the photo's station: from end A to its left-hand corner.");
        }

        foreach (var cannot in joined.Misplaced.Select(m => m.Why).Concat(joined.Ends.Values.SelectMany(e => e).SelectMany(m => m.CannotSay))
            .Concat(joined.Faces.Values.SelectMany(f => f.Joined.CannotSay)).Distinct())
            yield return cannot;
    }
}
