using GrainVision.Grading.Findings;

namespace GrainVision.Service.Measurements;

/// <summary>What lies beside the wood in this shop. Section <c>GrainVision:Scale</c>.</summary>
public sealed class ScaleOptions
{
    public const string Section = "GrainVision:Scale";

    /// <summary>
    /// What every steel rule of the shop is graduated in: mm or inch. Null where that is not known; then a rule divided by fives and tens is taken for
    /// millimetres and the verdict is held.
    /// </summary>
    public SteelRuleUnit? RuleUnit { get; init; }
}
