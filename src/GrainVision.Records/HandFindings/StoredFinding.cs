using GrainVision.Grading.ByHand;

namespace GrainVision.Records.HandFindings;

/// <summary>A hand finding with its place in the log.</summary>
/// <param name="Entry">Number of its entry: what a later one names to correct it.</param>
/// <param name="EntrySha256">Hash of its entry.</param>
/// <param name="Piece">Id of the piece it is of.</param>
/// <param name="EnteredUtc">When it was entered.</param>
/// <param name="Who">Whose API key entered it, or <c>local</c>.</param>
/// <param name="Finding">What was found.</param>
/// <param name="CorrectedBy">Entry of the finding that took its place; null where it counts.</param>
public sealed record StoredFinding(long Entry, string EntrySha256, string Piece, DateTimeOffset EnteredUtc, string Who, HandFinding Finding, long? CorrectedBy)
{
    /// <summary>The word that says what was found.</summary>
    public HandKind Kind => Finding.Kind;
}
