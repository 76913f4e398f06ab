using GrainVision.Grading.ByHand;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Questions;

namespace GrainVision.Service.Pieces;

/// <summary>What a person found on a piece: one finding or many at once.</summary>
internal sealed record FindingsRequest
{
    public required IReadOnlyList<HandFinding> Findings { get; init; }
}

/// <summary>What is left to do on a piece.</summary>
/// <param name="Piece">Id of the piece.</param>
/// <param name="Questions">In walking order; none where no use is on hold.</param>
/// <param name="Walk">Checks that hold for every piece of the delivery.</param>
internal sealed record QuestionsAnswer(string Piece, IReadOnlyList<Question> Questions, IReadOnlyList<WalkLine> Walk);

/// <summary>Findings of a piece with their log entries, and how the piece stands with them.</summary>
/// <param name="Piece">Id of the piece.</param>
/// <param name="Findings">Those entered by this request; in a list, all, oldest first.</param>
/// <param name="Standing">For each use of its delivery; empty of a piece outside one.</param>
internal sealed record FindingsAnswer(string Piece, IReadOnlyList<ReportedFinding> Findings, IReadOnlyList<UseStanding> Standing);
