using GrainVision.Grading.ByHand;
using GrainVision.Grading.Deliveries;

namespace GrainVision.Service.Pieces;

/// <summary>What a person found on a piece: one finding or many at once.</summary>
internal sealed record FindingsRequest
{
    public required IReadOnlyList<HandFinding> Findings { get; init; }
}

/// <summary>Findings of a piece with their log entries, and how the piece stands with them.</summary>
/// <param name="Piece">Id of the piece.</param>
/// <param name="Findings">Those entered by this request; in a list, all, oldest first.</param>
/// <param name="Standing">For each use of its delivery; empty of a piece outside one.</param>
internal sealed record FindingsAnswer(string Piece, IReadOnlyList<ReportedFinding> Findings, IReadOnlyList<UseStanding> Standing);
