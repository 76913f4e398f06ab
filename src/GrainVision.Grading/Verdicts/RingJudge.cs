using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>Rings per inch on an end against a limit. The worst inch is compared, never the mean (ANC-19 2.413).</summary>
internal static class RingJudge
{
    private const string Unit = "rings/in";

    private const string CountByHand =
        "Count the rings by hand in the widest-ringed inch along a radius of this end, with a lens and a steel rule.";

    /// <summary>1.001: the worst inch cannot hold more rings than the mean; so much is left for rounding.</summary>
    private const double WorstOverMean = 1.001;

    internal static LimitAssessment Judge(RingsPerInchMinimum limit, Measurement m)
    {
        if (m.View != View.End)
            return LimitAssessment.NotShown($"Rings on both ends: {Wanted(limit, m.Species)} ({limit.MainSource}).");
        if (Missing(limit, m) is { } missing)
            return LimitAssessment.Judged(missing);
        var worst = m.Rings!.WorstInch;
        var answer = SpeciesJudge.Judge(limit, m.Species, r => r.Least, r => GuardedAcceptance.AtLeast(worst, r.Least));
        if (answer.Row is not { } row)
            return LimitAssessment.Judged(SpeciesJudge.NotListed(limit, m.Species));
        var text = $"Worst inch {ReasonText.Interval(worst, " " + Unit, 1, row.Least)} against at least {ReasonText.Plain(row.Least)} {answer.Whose}"
            + $"{Chance(answer.Outcome, worst, row.Least, null)}.";
        return With(m, new Reason(limit.Id, answer.Outcome, text, limit.Source, "worstInch", worst, row.Least, Unit,
            PlaceOf(m.Rings), answer.Outcome == VerdictOutcome.Hold ? HandCheck(answer.SpeciesWouldSettle) : null) { Asks = Asks(answer.SpeciesWouldSettle) });
    }

    internal static LimitAssessment Judge(RingsPerInchRange limit, Measurement m)
    {
        if (m.View != View.End)
            return LimitAssessment.NotShown($"Rings on both ends: {limit.Text} ({limit.MainSource}).");
        if (Missing(limit, m) is { } missing)
            return LimitAssessment.Judged(missing);
        var (worst, mean) = (m.Rings!.WorstInch, m.Rings.PerInch);
        var few = SpeciesJudge.Judge(limit, m.Species, r => r.Least, r => GuardedAcceptance.AtLeast(worst, r.Least));
        var many = SpeciesJudge.Judge(limit, m.Species, r => -r.Most, r => GuardedAcceptance.AtMost(mean, r.Most));
        if (few.Row is null || many.Row is null)
            return LimitAssessment.Judged(SpeciesJudge.NotListed(limit, m.Species));
        var fewReason = new Reason(limit.Id, few.Outcome,
            $"Worst inch {ReasonText.Interval(worst, " " + Unit, 1, few.Row.Least)} against at least {ReasonText.Plain(few.Row.Least)} {few.Whose}"
            + $"{Chance(few.Outcome, worst, few.Row.Least, null)}.",
            limit.Source, "worstInch", worst, few.Row.Least, Unit, PlaceOf(m.Rings),
            few.Outcome == VerdictOutcome.Hold ? HandCheck(few.SpeciesWouldSettle) : null) { Asks = Asks(few.SpeciesWouldSettle) };
        var manyReason = new Reason(limit.Id, many.Outcome,
            $"Mean {ReasonText.Interval(mean, " " + Unit, 1, many.Row.Most)} against at most {ReasonText.Plain(many.Row.Most)} {many.Whose}"
            + $"{Chance(many.Outcome, mean, null, many.Row.Most)}.",
            limit.Source, "perInch", mean, many.Row.Most, Unit, PlaceOf(m.Rings),
            many.Outcome == VerdictOutcome.Hold ? HandCheck(many.SpeciesWouldSettle) : null) { Asks = Asks(many.SpeciesWouldSettle) };
        return With(m, fewReason, manyReason);
    }

    /// <summary>": met", ": broken", ": open"; where the interval holds the limit, with the chance of meeting it by JCGM 106.</summary>
    internal static string Chance(VerdictOutcome outcome, Measured y, double? lower, double? upper)
    {
        var straddles = GuardedAcceptance.IsUsable(y)
            && GuardedAcceptance.Within(y, lower ?? double.MinValue, upper ?? double.MaxValue) == VerdictOutcome.Hold;
        return outcome == VerdictOutcome.Hold && straddles
            ? $": the interval holds the limit, {ReasonText.Chance(GuardedAcceptance.ConformanceProbability(y.Value, y.StandardUncertainty, lower, upper))} likely to meet it"
            : $": {ReasonText.Word(outcome)}";
    }

    private static Reason? Missing(Limit limit, Measurement m)
    {
        if (CannotSayReasons.Find(m, CannotSayTopic.Rings) is { } cannot)
            return CannotSayReasons.Hold(limit, cannot);
        if (m.Rings is not { } rings)
            return new Reason(limit.Id, VerdictOutcome.Hold, "The rings of this end were not measured.", limit.Source, HandCheck: CountByHand);
        return !GuardedAcceptance.IsUsable(rings.PerInch) || rings.WorstInch.Value > rings.PerInch.Value * WorstOverMean
            ? new Reason(limit.Id, VerdictOutcome.Hold, "The findings do not fit together: the worst inch has more rings than the mean, or the mean is no usable number.", limit.Source, HandCheck: CountByHand)
            : null;
    }

    private static LimitAssessment With(Measurement m, params IReadOnlyList<Reason> reasons) => SpeciesJudge.NameOf(m.Species) is null
        ? new LimitAssessment(reasons, [SpeciesJudge.StateIt], [])
        : LimitAssessment.Judged(reasons);

    private static QuestionCode? Asks(bool speciesWouldSettle) => speciesWouldSettle ? QuestionCode.Species : null;

    private static string HandCheck(bool speciesWouldSettle) => speciesWouldSettle ? SpeciesJudge.StateIt : CountByHand;

    private static PointPx? PlaceOf(RingFinding rings)
    {
        var path = rings.WorstInchPath is { Count: > 0 } worst ? worst : rings.Path;
        return path.Count == 0 ? null : path[path.Count / 2];
    }

    private static string Wanted(RingsPerInchMinimum limit, string? species)
    {
        var rows = SpeciesJudge.Rows(limit, species);
        if (rows.Count == 0)
            return $"no published limit for {SpeciesJudge.NameOf(species)}; defer to approved data";
        var (low, high) = (rows.Min(r => r.Least), rows.Max(r => r.Least));
        var wanted = low == high ? ReasonText.Plain(low) : $"{ReasonText.Plain(low)} to {ReasonText.Plain(high)} by species and class";
        return $"at least {wanted} in the worst inch of either end";
    }
}
