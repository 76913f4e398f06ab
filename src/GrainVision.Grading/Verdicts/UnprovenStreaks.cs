using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// Slopes read from fibre streaks have been held against drawn wood only. On photos of a real quarter-sawn beech the streaks gave a narrow slope along the grain and
/// across it too, one of which must be wrong. So no accept rests on them until a person has looked at the fibres; a steep one still rejects.
/// </summary>
internal static class UnprovenStreaks
{
    /// <summary>Named like a limit, so that a person can answer it ("met": the fibres run as the picture's lines do).</summary>
    internal const string LimitId = "fibre-streaks";

    private const string Confirm =
        "Ink, scribe or split this face and compare with the lines in the picture; then enter the slope found, or answer fibre-streaks with \"met\" where the fibres run as drawn.";

    internal static bool In(Measurement m) => m is { View: View.Face, Grain: { Basis: GrainBasis.FibreStreaks, ByHand: false } };

    internal static bool Concern(RuleBook book) => book.Limits.Any(l => l is ISlopeLimit);

    internal static Reason Hold() => new(
        LimitId, VerdictOutcome.Hold,
        "Slope was read from fibre streaks, which were tested on drawn wood only: a person confirms how the fibres run before anything is accepted by it.",
        ReasonText.OwnSource, HandCheck: Confirm);

    /// <summary>The measurement once a person has found the fibres to run as its picture shows.</summary>
    internal static Measurement Apply(Measurement m, IReadOnlyList<HandFinding> hands) =>
        In(m) && hands.LastOrDefault(h => h.Limit == LimitId)?.Answer == HandAnswer.Met ? m with { Grain = m.Grain! with { ByHand = true } } : m;
}
