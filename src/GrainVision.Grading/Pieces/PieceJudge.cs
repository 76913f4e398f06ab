using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// Holds a whole piece against a rule book. Accept: every limit of the book is shown to be met, intervals and all, on every surface that it
/// speaks of; both ends and all four faces from end to end (AC 43.13-1B asks for all four), moisture and weight too where the book limits
/// them. Never a finding of airworthiness.
/// </summary>
/// <remarks>One limit is judged in one place only: this asks <see cref="LimitJudge"/> surface by surface, and <see cref="PhotoJudge"/> of photos that nobody placed.</remarks>
public static class PieceJudge
{
    /// <summary>The verdict on one piece for the use of one rule book, by its photos and what was entered with it.</summary>
    /// <param name="piece">The piece; its species, moisture and weight count.</param>
    /// <param name="findings">From <see cref="PieceJoiner.Join"/>; judged from its photos.</param>
    /// <param name="book">The use.</param>
    public static Verdict GiveVerdict(Piece piece, PieceFindings findings, RuleBook book)
    {
        ArgumentNullException.ThrowIfNull(findings);
        return PieceAssessment.From(piece, findings.Photos, []).GiveVerdict(book);
    }

    internal static Verdict GiveVerdict(JoinedPiece joined, RuleBook book)
    {
        var judged = book.Limits.Select(l => Judge(joined, l)).ToList();
        var loose = joined.Loose.Select(m => (Measurement: m, Verdict: PhotoJudge.GiveVerdict(m, book))).ToList();
        List<Reason> reasons =
        [
            .. judged.SelectMany(j => j.Reasons),
            .. CoverageCheck.Reasons(joined, book),
            .. PieceBlemishes.NotCovered(joined, book),
            .. joined.Misplaced.SelectMany(Misplaced),
            .. CannotSayReasons.HoldsByItself(OtherCannotSay(joined), "", "these photos"),
        ];
        reasons =
        [
            .. PieceUnits.Soften(joined, reasons), .. PieceUnits.Reasons(joined), .. PieceStreaks.Reasons(joined, book), .. Outlines(joined),
            .. loose.SelectMany(l => l.Verdict.Reasons.Select(r => r with { Photo = l.Measurement.Photo.Sha256, Mark = MarkOf(l.Measurement, r) })),
        ];
        // OrderBy keeps the book's order among equals.
        var gravestFirst = reasons.OrderByDescending(r => r.Outcome).ToList();
        return new Verdict(
            book.Id,
            book.Version,
            book.Use,
            GuardedAcceptance.Gravest(reasons.Select(r => r.Outcome)),
            "this piece",
            gravestFirst,
            HandChecks.Once([.. ChecksOf(gravestFirst, judged, joined), .. loose.SelectMany(l => l.Verdict.HandChecks)]),
            [.. VerdictCautions.OfPiece, book.ApprovedData, .. judged.SelectMany(j => j.Cautions).Distinct()]);
    }

    /// <summary>One limit on all surfaces that it speaks of, photos that nobody placed apart.</summary>
    internal static LimitAssessment Judge(JoinedPiece joined, Limit limit) => LimitKinds.From(limit).Scope switch
    {
        LimitScope.Ends => PieceEnds.Judge(joined, limit, LimitKinds.From(limit).Topic),
        LimitScope.Slopes => PieceSlopes.Judge(joined, limit),
        LimitScope.Marks => PieceBlemishes.Judge(joined, limit),
        LimitScope.Readings => MoistureAndDensity.Judge(joined, limit),
        _ => HandCheck(joined, (HandCheckOnly)limit),
    };

    /// <summary>What a person saw counts; "other views still to do" is done where every surface was shown.</summary>
    private static LimitAssessment HandCheck(JoinedPiece joined, HandCheckOnly limit)
    {
        // What is answered of the surfaces settles the cover, surface by surface.
        if (limit.Id == CoverageCheck.AllFacesId && !CoverageCheck.IsWhole(joined))
            return LimitAssessment.NotShown(limit.HandCheck);
        if (HandSettling.Looked(limit, joined.Hands) is { } looked)
            return LimitAssessment.Judged(looked);
        return limit.Id == CoverageCheck.AllFacesId ? LimitAssessment.Judged() : LimitAssessment.NotShown(limit.HandCheck);
    }

    private static MarkName? MarkOf(Measurement m, Reason reason) => m.Blemishes.FirstOrDefault(b => reason.At == b.Centre) is { } blemish
        ? new MarkName(m.Id, blemish.Number ?? BlemishSetting.IndexOf(m.Blemishes, blemish) + 1)
        : null;

    /// <summary>The hold of a photo that was left out, which names it.</summary>
    private static IEnumerable<Reason> Misplaced(MisplacedPhoto photo) => CannotSayReasons.HoldsByItself([photo.Why], "", "these photos")
        .Select(r => r with { Surface = photo.Photo.Place.Surface, Photo = photo.Photo.Measurement.Photo.Sha256 });

    private static IEnumerable<Reason> Outlines(JoinedPiece joined) => joined.Photos.Where(p => DoubtfulOutline.In(p.Measurement))
        .Select(p => DoubtfulOutline.Hold(p.Measurement) with { Surface = p.Place.Surface, Photo = p.Measurement.Photo.Sha256 });

    private static IEnumerable<CannotSay> OtherCannotSay(JoinedPiece joined) => joined.Ends.Values.SelectMany(e => e).SelectMany(m => m.CannotSay)
        .Concat(joined.Faces.Values.SelectMany(f => f.Joined.CannotSay))
        .Distinct();

    /// <summary>What settles the holds first, then what no photo shows, then what the photos themselves could not say.</summary>
    private static IReadOnlyList<string> ChecksOf(IEnumerable<Reason> reasons, IEnumerable<LimitAssessment> judged, JoinedPiece joined) => HandChecks.Once(
        reasons.Select(r => r.HandCheck).Concat(judged.SelectMany(j => j.HandChecks))
            .Concat(joined.Misplaced.Select(m => m.Why).Concat(OtherCannotSay(joined)).Where(c => CannotSayReasons.IsOfNoLimit(c.What)).Select(c => c.HandCheck)));
}
