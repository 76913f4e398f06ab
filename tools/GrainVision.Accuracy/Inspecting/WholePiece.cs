using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Rules;
using GrainVision.Synthesis;
using DeliveryPiece = GrainVision.Grading.Pieces.Piece;

namespace GrainVision.Accuracy;

/// <summary>A whole piece to be photographed and judged.</summary>
/// <param name="Seed">Its number in the run.</param>
/// <param name="Fault">What it was made to break; null for a good one.</param>
/// <param name="Book">The use asked.</param>
/// <param name="Piece">As a shop enters it: sizes and species, no moisture, no weight.</param>
/// <param name="Photographer">Takes its photos.</param>
/// <param name="Care">How they are taken.</param>
/// <param name="Known">Its truth.</param>
/// <param name="Broken">What the truth breaks, judged on exact numbers.</param>
internal sealed record WholePiece(
    int Seed, Fault? Fault, RuleBook Book, DeliveryPiece Piece, BoardPhotographer Photographer, BoardCare Care, KnownPiece Known, IReadOnlyList<Reason> Broken)
{
    /// <summary>What it is called in a table.</summary>
    public string Kind => Fault?.ToString() ?? "Good";
}
