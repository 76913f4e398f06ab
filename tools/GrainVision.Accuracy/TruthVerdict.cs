using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>The verdict that the truth itself would get: the judge's own rules on exact numbers. Only its rejects are used.</summary>
internal static class TruthVerdict
{
    /// <summary>Limits of the book that this surface truly breaks.</summary>
    public static IReadOnlyList<Reason> Broken(PhotoTruth truth, RuleBook book) =>
        [.. PhotoJudge.GiveVerdict(TruthMeasurement.From(truth), book).Reasons.Where(r => r.Outcome == VerdictOutcome.Reject)];

    /// <summary>
    /// True where the truth lies further beyond the limit than half of the interval that was stated, or where the limit knows no number
    /// (a crack, a boxed pith): such a piece must never be accepted.
    /// </summary>
    public static bool BeyondStated(Reason broken, Verdict given)
    {
        if (broken.Measured is not { } truth || broken.Limit is not { } limit)
            return true;
        var stated = given.Reasons.FirstOrDefault(r => r.LimitId == broken.LimitId && r.Measured is not null)?.Measured;
        return stated is not { } interval || Math.Abs(truth.Value - limit) > Math.Max(interval.High - interval.Value, interval.Value - interval.Low);
    }
}
