using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// Stretches of a piece that can be cut for a use: no candidate for a blemish in them on any face, however unlikely, since what is small in the
/// middle of a flitch may lie at the edge of a part; and no slope of grain that breaks the limit. What a limit leaves open goes on as a hand check;
/// what it rejects of the piece as a whole gives no length.
/// </summary>
public static class ClearLengths
{
    /// <summary>2: the grain flows round a knot for two of its widths along the piece, as the slope stage leaves it out.</summary>
    private const double FlowWidths = 2;

    private const string SlopeElsewhere =
        "Elsewhere on this piece the slope of grain breaks the limit: scribe or ink the grain at both ends of this length on two adjacent faces before cutting.";

    /// <summary>Clear lengths for one use, from end A on. None where the whole piece is rejected, or a blemish cannot be placed.</summary>
    /// <param name="piece">The piece.</param>
    /// <param name="findings">From <see cref="PieceJoiner.Join"/>.</param>
    /// <param name="book">The use.</param>
    public static IReadOnlyList<ClearLength> Find(Piece piece, PieceFindings findings, RuleBook book)
    {
        ArgumentNullException.ThrowIfNull(findings);
        return PieceAssessment.From(piece, findings.Photos, []).ClearLengths(book);
    }

    /// <param name="joined">Photos and hand findings together.</param>
    /// <param name="sure">Marks that are cut round beside those of <paramref name="joined"/>.</param>
    /// <param name="verdict">On the piece for this use: a check that a person found broken is of the whole piece.</param>
    /// <param name="book">The use.</param>
    internal static IReadOnlyList<ClearLength> Find(JoinedPiece joined, IReadOnlyList<PieceMark> sure, Verdict verdict, RuleBook book)
    {
        var findings = PieceJoiner.Findings(joined);
        // A blemish is cut round instead of judged, and so is a slope; all other limits are of the piece as a whole: rings, cut, moisture, weight.
        var judged = book.Limits.Where(l => l is not IBlemishLimit and not GrainBesideKnot).Select(l => (Limit: l, Findings: PieceJudge.Judge(joined, l))).ToList();
        var ofWhole = judged.Select(j => j.Limit.Id).ToHashSet(StringComparer.Ordinal);
        var broken = verdict.Reasons.Where(r => r.Outcome == VerdictOutcome.Reject).Select(r => r.LimitId).ToHashSet(StringComparer.Ordinal);
        var rejects = judged.Where(j => broken.Contains(j.Limit.Id) || j.Findings.Reasons.Any(r => r.Outcome == VerdictOutcome.Reject)).Select(j => j.Limit).ToList();
        // A slope found by hand is of no stretch that anybody noted, and so is one that a person found otherwise than the photos.
        var isSteepSomewhere = rejects.Count > 0 && (joined.Hands.Any(h => h.Quantity == HandQuantities.CombinedSlope) || rejects.Exists(l => !SlopeStretches.Broken(joined, l).Any()));
        var isPlaced = joined.Marks.Concat(sure).All(m => m.StationMm is not null) && findings.Blemishes.All(b => b.StationMm is not null);
        if (joined.Faces.Count == 0 || !isPlaced || isSteepSomewhere || !rejects.TrueForAll(l => l is ISlopeLimit))
            return [];
        var steep = rejects.SelectMany(l => SlopeStretches.Broken(joined, l)).ToList();
        var blemished = findings.Blemishes.Select(b => Around(b.StationMm!.Value, b.StationUncertaintyMm, b.LengthMm, b.WidthMm))
            .Concat(joined.Marks.Concat(sure).Select(m => Around(m.StationMm!.Value.Value, m.StationMm.Value.High - m.StationMm.Value.Value, m.Finding.LengthMm, m.Finding.WidthMm)));
        var checks = HandChecks.Once(
        [
            .. rejects.Count > 0 ? [SlopeElsewhere] : Array.Empty<string>(),
            .. verdict.Reasons.Where(r => ofWhole.Contains(r.LimitId) || !book.Limits.Any(l => l.Id == r.LimitId)).Select(r => r.HandCheck).OfType<string>(),
            .. judged.SelectMany(j => j.Findings.HandChecks),
            .. findings.CannotSay.Select(c => c.HandCheck),
            .. joined.Marks.Any(m => PieceSurfaces.IsEnd(m.Surface)) ? ["Trim the end until the blemish that shows on it is gone."] : Array.Empty<string>(),
        ]);
        var whole = new Stretch(0, joined.Geometry.LengthMm);
        return [.. Stretch.Gaps(whole, blemished.Concat(steep).Concat(NotShown(joined, whole))).Select(g => new ClearLength(book.Id, g.FromMm, g.ToMm, checks))];
    }

    private static Stretch Around(double stationMm, double halfMm, double lengthMm, double widthMm)
    {
        var reach = halfMm + (lengthMm / 2) + (FlowWidths * widthMm);
        return double.IsFinite(reach) ? new Stretch(stationMm - reach, stationMm + reach) : new Stretch(double.MinValue, double.MaxValue);
    }

    /// <summary>Stretches that were searched for blemishes on no face at all. What only some faces leave open there is a hand check.</summary>
    private static IReadOnlyList<Stretch> NotShown(JoinedPiece joined, Stretch whole) =>
        Stretch.Gaps(whole, joined.Faces.Values.SelectMany(f => Stretch.Gaps(whole, f.NoBlemishSearch)));
}
