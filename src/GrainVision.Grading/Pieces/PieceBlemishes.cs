using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>Blemish limits on every surface of a piece, with the distance to every other blemish of it, on whatever surface.</summary>
internal static class PieceBlemishes
{
    internal static LimitAssessment Judge(JoinedPiece joined, Limit limit)
    {
        var (reasons, checks, cautions) = (new List<Reason>(), new List<string>(), new List<string>());
        foreach (var (surface, measurement) in Surfaces(joined))
        {
            var judged = LimitJudge.Evaluate(limit, measurement, Setting(joined, surface));
            reasons.AddRange(judged.Reasons.Select(r => On(joined, surface, r)));
            checks.AddRange(judged.HandChecks);
            cautions.AddRange(judged.Cautions);
        }

        // "None found" once for the piece, not once a surface.
        if (reasons.Count > 0 && reasons.TrueForAll(r => r.Outcome == VerdictOutcome.Accept && r.Quantity is null))
            reasons = [reasons[0] with { Text = $"None found on any surface that was searched: {BlemishJudge.Kinds(k => limit is not IBlemishLimit l ? k == BlemishKind.Knot : l.Covers(k))}.", Surface = null }];
        return new LimitAssessment(reasons, [.. checks.Distinct()], [.. cautions.Distinct()]);
    }

    internal static IEnumerable<Reason> NotCovered(JoinedPiece joined, RuleBook book)
    {
        var limits = book.Limits.OfType<IBlemishLimit>().ToList();
        return joined.Marks.Where(m => !limits.Exists(l => l.Covers(m.Finding.Kind)))
            .Select(m => On(joined, m.Surface, LimitJudge.Writable(BlemishJudge.NotCovered(book, Setting(joined, m.Surface), m.Finding))));
    }

    /// <summary>Each surface that was searched, or that shows a blemish all the same, with all its blemishes.</summary>
    private static IEnumerable<(Surface Surface, Measurement Measurement)> Surfaces(JoinedPiece joined)
    {
        foreach (var (end, photos) in joined.Ends)
        {
            // An end that no photo of could be searched holds by what its photos say.
            var searched = photos.Where(p => CannotSayReasons.Find(p, CannotSayTopic.Blemishes) is null).ToList();
            var basis = searched.Count > 0 ? searched[0] : photos[0];
            yield return (end, WithMarks(joined, end, basis));
        }

        foreach (var (surface, face) in joined.Faces)
        {
            // What was not searched is a gap of the cover and holds there; what was found is judged.
            var marked = WithMarks(joined, surface, face.Joined);
            var isSearched = face.NoBlemishSearch is not [{ } gap] || gap != new Stretch(0, joined.Geometry.LengthMm);
            if (isSearched || marked.Blemishes.Count > 0)
                yield return (surface, marked with { CannotSay = [.. marked.CannotSay.Where(c => c.What != CannotSayTopic.Blemishes)] });
        }
    }

    private static Measurement WithMarks(JoinedPiece joined, Surface surface, Measurement measurement) =>
        measurement with { Blemishes = [.. joined.Marks.Where(m => m.Surface == surface).Select(m => m.Finding)] };

    private static BlemishSetting Setting(JoinedPiece joined, Surface surface) => new()
    {
        Neighbours = b => MarkOf(joined, b) is { } mark ? [.. joined.Marks.Where(o => !ReferenceEquals(o, mark)).Select(o => Seen(joined, mark, o))] : [],
        NumberOf = b => MarkOf(joined, b) is { } mark ? NumberOf(joined, mark) : 0,
        ThroughMate = b => MarkOf(joined, b) is { } mark && joined.MateOf(mark) is { } mate && PieceSurfaces.AreOpposite(mark.Surface, mate.Surface) ? mate.Finding : null,
        Role = PieceSurfaces.IsEnd(surface) ? FaceRole.NotKnown
            : joined.Geometry.Square ? FaceRole.Either
            : surface is Surface.Face1 or Surface.Face3 ? FaceRole.Wide
            : FaceRole.Narrow,
        RingAngleToFace = FaceRingAngle.Compute(surface, joined.Geometry.Square, joined.Ends.Count == PieceSurfaces.Ends.Count ? joined.Ends.Values.SelectMany(e => e) : []),
        WholePiece = true,
    };

    private static Neighbour Seen(JoinedPiece joined, PieceMark mark, PieceMark other)
    {
        var where = mark.Surface == other.Surface ? "" : $" on {PieceSurfaces.From(other.Surface).ToLowerInvariant()}";
        var same = ReferenceEquals(joined.MateOf(mark), other) || MarkJoiner.MayBeSame(mark, other) || RunsIntoEnd(mark, other);
        // In one photo the distance does not hang on where the photo lies along the piece.
        foreach (var (one, two) in PieceMark.Together(mark, other))
        {
            var m = one.Photo.Measurement;
            var (apart, straight) = (BlemishPlace.Apart(m, one.Finding, two.Finding), BlemishPlace.StraightApart(m, one.Finding, two.Finding));
            return new Neighbour(other.Finding, apart, straight, same, where);
        }

        if (mark.StationMm is not { } a || other.StationMm is not { } b)
            return new Neighbour(other.Finding, default, default, same, where);
        var rims = BlemishPlace.Rim(mark.Finding) + BlemishPlace.Rim(other.Finding);
        var halves = Math.Max(a.High - a.Value, a.Value - a.Low) + Math.Max(b.High - b.Value, b.Value - b.Low) + rims;
        var along = Math.Abs(a.Value - b.Value);
        // Across, two blemishes can be no farther from each other than the section's corners.
        var across = Math.Sqrt((joined.Geometry.WidthMm * joined.Geometry.WidthMm) + (joined.Geometry.ThicknessMm * joined.Geometry.ThicknessMm));
        var straightMost = Math.Sqrt(Math.Pow(along + halves, 2) + (across * across));
        return new Neighbour(
            other.Finding, new Measured(along, along - halves, along + halves), new Measured(straightMost, along - halves, straightMost), same, where);
    }

    /// <summary>A check or split seen on an end may be the one that a face shows there.</summary>
    private static bool RunsIntoEnd(PieceMark a, PieceMark b)
    {
        if (PieceSurfaces.IsEnd(a.Surface) == PieceSurfaces.IsEnd(b.Surface))
            return false;
        return a.StationMm is null || b.StationMm is null || PieceMark.NearAlong(a, b, 0);
    }

    /// <summary>Number in the piece's list, where a pair counts once: 1 and up.</summary>
    private static int NumberOf(JoinedPiece joined, PieceMark mark)
    {
        var number = 0;
        foreach (var one in joined.Marks)
        {
            var mate = joined.MateOf(one);
            var isSecond = mate is not null && joined.Mates.Any(p => ReferenceEquals(p.Second, one));
            if (!isSecond)
                number++;
            if (ReferenceEquals(one, mark))
                return isSecond ? NumberOf(joined, mate!) : number;
        }

        return 0;
    }

    private static PieceMark? MarkOf(JoinedPiece joined, BlemishFinding finding) => joined.Marks.FirstOrDefault(m => ReferenceEquals(m.Finding, finding));

    private static Reason On(JoinedPiece joined, Surface surface, Reason reason)
    {
        var mark = reason.At is { } at ? joined.Marks.FirstOrDefault(m => m.Surface == surface && m.Finding.Centre == at) : null;
        return PieceSurfaces.On(surface, reason) with
        {
            StationMm = mark?.StationMm?.Value,
            Photo = mark?.Sightings.FirstOrDefault(s => s.Finding.Centre == reason.At)?.Photo.Measurement.Photo.Sha256,
            Mark = mark?.Name,
        };
    }
}
