using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>Limits that no photo shows: they become hand checks with their figures.</summary>
internal static class HandJudge
{
    internal static LimitAssessment Judge(MoistureRange limit) => LimitAssessment.NotShown(
        $"Moisture: {ReasonText.Plain(limit.LeastPercent)} to {ReasonText.Plain(limit.MostPercent)} % of the oven-dry weight ({limit.MainSource}).");

    internal static LimitAssessment Judge(SpecificGravityMinimum limit, string? species)
    {
        var rows = SpeciesJudge.Rows(limit, species);
        if (rows.Count == 0)
            return LimitAssessment.NotShown($"Specific gravity: no published limit for {SpeciesJudge.NameOf(species)}; defer to approved data.");
        var (low, high) = (rows.Min(r => r.Least), rows.Max(r => r.Least));
        var least = low == high ? ReasonText.Plain(low) : $"{ReasonText.Plain(low)} to {ReasonText.Plain(high)} by species and class";
        return LimitAssessment.NotShown($"Specific gravity, oven-dry weight and volume: at least {least} ({limit.MainSource}).");
    }

    internal static LimitAssessment Judge(HandCheckOnly limit, View view) =>
        limit.Views.Contains(view) ? LimitAssessment.NotShown(limit.HandCheck) : LimitAssessment.Judged();
}
