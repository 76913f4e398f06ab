using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// The one rule of what an accept of a piece rests on: both ends, four faces from end to end (AC 43.13-1B; ANC-19 2.413), moisture and weight where the
/// book limits them. Pieces are held by it, and a photo alone says by it what its piece still needs.
/// </summary>
internal static class NeededEvidence
{
    internal const string BothEnds = "both-ends";

    internal const string FourFaces = "four-faces";

    internal const string Moisture = "moisture";

    internal const string Weight = "weight";

    /// <summary>2: ends of a piece.</summary>
    internal const int Ends = 2;

    internal static IReadOnlyList<string> From(RuleBook book) =>
    [
        BothEnds, FourFaces, .. book.Limits.Any(l => l is MoistureRange) ? [Moisture] : Array.Empty<string>(), .. book.Limits.Any(l => l is SpecificGravityMinimum) ? [Weight] : Array.Empty<string>(),
    ];

    /// <summary>What one photo comes to for its piece: never an accept.</summary>
    internal static PieceOutlook OfPhoto(View view, VerdictOutcome outcome, RuleBook book)
    {
        var needs = From(book);
        var surface = view == View.End ? "end" : "face";
        var words = needs.Select(n => n switch
        {
            BothEnds => view == View.End ? "the other end" : "both ends",
            FourFaces => view == View.End ? "the four faces from end to end" : "the rest of the four faces",
            Moisture => "the moisture",
            _ => "the weight",
        });
        return new PieceOutlook(
            outcome == VerdictOutcome.Reject ? VerdictOutcome.Reject : VerdictOutcome.Hold,
            needs,
            outcome == VerdictOutcome.Reject
                ? $"This {surface} breaks the book, and so does the piece for this use."
                : $"This {surface} {(outcome == VerdictOutcome.Accept ? "meets the book" : "is open")}; the piece also needs {string.Join(", ", words)}.");
    }
}
