using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// Judges a piece of a delivery by its placed photos and by what was found by hand. The same as <see cref="EvidenceJudge"/>, but surfaces are
/// judged together by <see cref="PieceJudge"/>: all faces, both ends, true slope, spacing along the piece.
/// </summary>
public static class PieceEvidenceJudge
{
    /// <param name="piece">The piece, its species filled in.</param>
    /// <param name="placed">Its photos, with the ids of their measurements.</param>
    /// <param name="hands">Hand findings, oldest first: the latest of a thing counts.</param>
    /// <param name="book">Limits to judge by.</param>
    public static EvidenceVerdict Judge(Piece piece, IReadOnlyList<PlacedMeasurement> placed, IReadOnlyList<HandFinding> hands, RuleBook book)
    {
        ArgumentNullException.ThrowIfNull(piece);
        ArgumentNullException.ThrowIfNull(placed);
        ArgumentNullException.ThrowIfNull(hands);
        ArgumentNullException.ThrowIfNull(book);
        var byPhoto = Verdict(piece, placed, book);
        var byHand = Verdict(
            piece, [.. placed.Select(p => p with { Measurement = HandEvidence.Apply(p.Measurement, [.. hands.Where(h => h.Measurement == p.Measurement.Id)]) })], book);
        var ids = placed.ToLookup(p => p.Measurement.Photo.Sha256, p => p.Measurement.Id);
        string? Of(Reason reason) => reason.Photo is { } photo ? ids[photo].FirstOrDefault() : null;

        List<EvidenceReason> reasons =
        [
            .. byHand.Reasons.Select(r => new EvidenceReason(Of(r), EvidenceJudge.Settle(r, Of(r) ?? "", piece.Species, hands, book))),
            .. EvidenceJudge.StillRejected(byPhoto, byHand).Select(r => new EvidenceReason(Of(r), r)),
        ];
        return EvidenceVerdict.From(reasons, byHand.HandChecks, byHand.Cautions);
    }

    private static Verdict Verdict(Piece piece, IReadOnlyList<PlacedMeasurement> placed, RuleBook book) => PieceJudge.GiveVerdict(piece, PieceJoiner.Join(piece, placed), book);
}
