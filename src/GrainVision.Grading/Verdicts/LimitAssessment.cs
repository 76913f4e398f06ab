using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Verdicts;

/// <summary>What one limit says of one photo. No reasons: the view does not show it.</summary>
/// <param name="Reasons">One for each thing that was compared.</param>
/// <param name="HandChecks">What a person must still do because of this limit.</param>
/// <param name="Cautions">What to bear in mind even where the limit is met.</param>
public sealed record LimitAssessment(
    IReadOnlyList<Reason> Reasons, IReadOnlyList<string> HandChecks, IReadOnlyList<string> Cautions)
{
    internal static LimitAssessment Judged(params IReadOnlyList<Reason> reasons) => new(reasons, [], []);

    internal static LimitAssessment NotShown(string handCheck) => new([], [handCheck], []);
}
