namespace GrainVision.Grading.Pieces;

/// <summary>A length of a piece in which nothing speaks against a use.</summary>
/// <param name="RuleBook">Id of the rule book of the use.</param>
/// <param name="FromMm">Station of its start, mm from end A.</param>
/// <param name="ToMm">Station of its end, mm from end A.</param>
/// <param name="HandChecks">What a person must still check on this length before cutting.</param>
public sealed record ClearLength(string RuleBook, double FromMm, double ToMm, IReadOnlyList<string> HandChecks)
{
    public double LengthMm => ToMm - FromMm;
}
