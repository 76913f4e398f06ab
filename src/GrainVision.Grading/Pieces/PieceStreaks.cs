using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>Photos of a piece whose slope was read from fibre streaks that nobody has confirmed.</summary>
internal static class PieceStreaks
{
    /// <summary>
    /// One reason for each of them; none for a book that sets no limit to the slope, or where the true slope that was found by hand meets
    /// every one of them: then no accept rests on streaks.
    /// </summary>
    internal static IEnumerable<Reason> Reasons(JoinedPiece joined, RuleBook book) => !UnprovenStreaks.Concern(book) || HandSettling.IsStraight(book, joined.Species, joined.Hands)
        ? []
        : joined.Photos.Where(p => UnprovenStreaks.In(p.Measurement)).Select(p => UnprovenStreaks.Hold() with { Surface = p.Place.Surface, Photo = p.Measurement.Photo.Sha256 });
}
