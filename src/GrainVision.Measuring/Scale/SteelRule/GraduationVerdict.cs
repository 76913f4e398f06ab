using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>What the graduations' lengths say.</summary>
/// <param name="Best">The likeliest step and unit.</param>
/// <param name="Probability">That the step in mm is right, 0 to 1.</param>
/// <param name="MmProbability">That the rule is in millimetres of any step.</param>
/// <param name="InchProbability">That it is in parts of an inch.</param>
/// <param name="IsOrdered">False where the lengths look like chance: no rule.</param>
/// <param name="IsClear">True where nearly all lengths fit the best division and each of its classes stands out.</param>
internal sealed record GraduationVerdict(
    Graduation Best, double Probability, double MmProbability, double InchProbability, bool IsOrdered, bool IsClear)
{
    /// <summary>Every unit and step with its probability.</summary>
    public IReadOnlyList<(SteelRuleUnit Unit, double StepMm, double P)> Weights { get; init; } = [];

    /// <summary>The graduations of the longest class: number and length.</summary>
    public IReadOnlyList<(int Index, double Spacings)> LongestClass { get; init; } = [];

    /// <summary>Of what no unit and step is known.</summary>
    public double UnreadableP { get; init; }
}
