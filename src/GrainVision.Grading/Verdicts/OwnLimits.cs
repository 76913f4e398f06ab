namespace GrainVision.Grading.Verdicts;

/// <summary>What this program holds a piece for by its own rule, named like limits so that a person can answer them.</summary>
public static class OwnLimits
{
    /// <summary>Ids that an answer may name beside those of the rule books.</summary>
    public static IReadOnlyCollection<string> Ids { get; } = [AssumedUnit.LimitId, UnprovenStreaks.LimitId, DoubtfulOutline.LimitId];
}
