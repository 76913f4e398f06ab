using GrainVision.Grading.Pieces;

namespace GrainVision.Cutting;

/// <summary>A piece that parts can be cut from.</summary>
/// <param name="Piece">Nominal sizes count: rough stock is planed after the cut, not before.</param>
/// <param name="ClearLengths">Of every use; those of a use that is not asked for are not looked at.</param>
public sealed record CutStock(Piece Piece, IReadOnlyList<ClearLength> ClearLengths);
