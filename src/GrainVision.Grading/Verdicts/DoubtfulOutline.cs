using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// What an outline that was found, but could not be shown to be the wood's edge all round, does to a verdict: wood outside it was never looked at, so nothing is
/// accepted by it. A person who has the piece and the picture sees at a glance whether it runs along the edges.
/// </summary>
internal static class DoubtfulOutline
{
    /// <summary>Named like a limit, so that a person can answer it ("met": the outline in the picture runs along the wood's edges all round).</summary>
    internal const string LimitId = "outline";

    internal static bool In(Measurement m) => CannotSayReasons.Find(m, CannotSayTopic.Outline) is not null;

    internal static Reason Hold(Measurement m)
    {
        var cannot = CannotSayReasons.Find(m, CannotSayTopic.Outline)!;
        return new Reason(LimitId, VerdictOutcome.Hold, $"Cannot say {cannot.Subject} from this photo: {cannot.Why}", ReasonText.OwnSource, HandCheck: cannot.HandCheck);
    }

    /// <summary>The measurement once a person has found the outline in its picture to run along the edges. An outline found wrong goes on holding: the photo is taken again.</summary>
    internal static Measurement Apply(Measurement m, IReadOnlyList<HandFinding> hands) =>
        In(m) && hands.LastOrDefault(h => h.Limit == LimitId)?.Answer == HandAnswer.Met
            ? m with { CannotSay = [.. m.CannotSay.Where(c => c.What != CannotSayTopic.Outline)] }
            : m;
}
