using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// What a rule read as millimetres by custom alone does to a verdict. A rule with 20 parts to the inch read so makes rings 27 % too fine, which would
/// accept what is too coarse; one with 30 or 40 makes them too coarse. So neither accept nor reject rests on such a scale until somebody names the unit.
/// </summary>
internal static class AssumedUnit
{
    /// <summary>Named like a limit, so that a person can answer it ("met": the rule is metric) as they answer one.</summary>
    internal const string LimitId = "rule-unit";

    private const string Confirm = "Look at the rule that lay beside the piece: is it metric? Then say so, or measure again with its unit stated or with the printed card.";

    /// <summary>Units of reasons that rest on the scale. Angles and slopes do not.</summary>
    private static readonly string[] Scaled = ["rings/in", "mm"];

    internal static Reason Hold() => new(
        LimitId, VerdictOutcome.Hold,
        "The rule was read as millimetres because nearly all rules divided by fives and tens are; an engineer's scale with 20 or 30 parts to the inch looks the same, "
        + "and every length would be wrong by a fifth and more.",
        ReasonText.OwnSource, HandCheck: Confirm);

    /// <summary>Rings and sizes, and the specific gravity, whose volume is of measured ends.</summary>
    private static bool RestsOnScale(Reason reason) => (reason.Unit is { } unit && Scaled.Contains(unit)) || reason.Quantity == "specificGravity";

    /// <summary>A reject that rests on the scale is not wholly on the bad side while its unit is assumed.</summary>
    internal static Reason Soften(Reason reason) => reason.Outcome == VerdictOutcome.Reject && RestsOnScale(reason)
        ? reason with { Outcome = VerdictOutcome.Hold, Text = $"{reason.Text} Held, since the rule's unit is assumed.", HandCheck = reason.HandCheck ?? Confirm }
        : reason;

    /// <summary>The measurement once a person has looked at its rule and found it metric.</summary>
    internal static Measurement Apply(Measurement m, IReadOnlyList<HandFinding> hands) =>
        m.Scale.IsUnitAssumed && hands.LastOrDefault(h => h.Limit == LimitId)?.Answer == HandAnswer.Met
            ? m with { Scale = m.Scale with { UnitBasis = SteelRuleUnitBasis.Told } }
            : m;
}
