namespace GrainVision.Grading.Findings;

/// <summary>What a piece card lying in a photo says: by it a photo sorts itself.</summary>
/// <param name="PieceNumber">Number within the delivery, 1 to 960.</param>
/// <param name="Surface">Which end or face the photo shows.</param>
public sealed record PieceCard(int PieceNumber, Surface Surface);
