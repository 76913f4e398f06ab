namespace GrainVision.Grading.Verdicts;

/// <summary>Hand checks of a verdict: each once, in the order in which they were asked for.</summary>
internal static class HandChecks
{
    internal static IReadOnlyList<string> Once(IEnumerable<string?> asked) =>
        [.. asked.Where(h => !string.IsNullOrWhiteSpace(h)).Select(h => h!).Distinct(StringComparer.Ordinal)];
}
