using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// Slope of grain of one face. The limits speak of the true slope, which two adjacent faces show together: one face can break them alone, but it
/// can meet them alone only where it is so flat that the other face, no steeper, could not matter (ANC-19 2.4102).
/// </summary>
internal static class SlopeJudge
{
    private const string Unit = "tangent";

    private const string MeasureByHand = "Measure the slope of grain of this face by hand over the part's length: ink, scribe or split, against the long edge.";

    internal static LimitFindings Judge(SlopeOfGrain limit, Measurement m)
    {
        if (m.View != View.Face)
            return LimitFindings.NotShown($"Slope of grain on all four faces: {limit.Text} ({limit.Source})");
        if (Missing(limit, m) is { } missing)
            return LimitFindings.Judged(missing);
        var steepest = Steepest(m.Grain!.Slope, m.Grain.WorstWindow);
        var answer = SpeciesJudge.Judge(limit, m.Species, r => r.SteepestOneIn, r => OneFace(steepest, r.SteepestOneIn, limit.NoCombinedCheckFromOneIn));
        if (answer.Row is not { } row)
            return LimitFindings.Judged(SpeciesJudge.NotListed(limit, m.Species));
        return LimitFindings.Judged(Reason(limit, m.Grain, answer.Outcome, steepest, row.SteepestOneIn, limit.NoCombinedCheckFromOneIn, $"anywhere on this face, {answer.Whose}"));
    }

    internal static LimitFindings Judge(SlopeOuterPart limit, Measurement m)
    {
        if (m.View != View.Face)
            return LimitFindings.NotShown($"Slope of grain near the edges of the faces: {limit.Text} ({limit.Source})");
        if (Missing(limit, m) is { } missing)
            return LimitFindings.Judged(missing);
        var part = limit.Part == OuterPart.OuterEighth ? "an outer eighth" : "an outer quarter";
        if (m.Grain!.OuterEighths is not { } outer || !DecisionRule.IsUsable(outer))
        {
            return LimitFindings.Judged(new Reason(
                limit.Id, VerdictOutcome.Hold, $"The slope in {part} of the face could not be measured. Source: {limit.Source}.", limit.Source, HandCheck: MeasureByHand));
        }

        // Only the outer eighths are measured by themselves; where the worst window lies is not asked, so it counts here too.
        var steepest = Steepest(outer, m.Grain.WorstWindow);
        var outcome = OneFace(steepest, limit.SteepestOneIn, limit.NoCombinedCheckFromOneIn);
        return LimitFindings.Judged(Reason(limit, m.Grain, outcome, steepest, limit.SteepestOneIn, limit.NoCombinedCheckFromOneIn, $"in {part} of the face or the worst window"));
    }

    internal static LimitFindings Judge(SlopeMiddleHalf limit, Measurement m)
    {
        if (m.View != View.Face || Missing(limit, m) is not null)
            return LimitFindings.Judged();
        var steepest = Steepest(m.Grain!.Slope, m.Grain.WorstWindow);
        return DecisionRule.AtMost(steepest, 1 / limit.SteepestOneIn) == VerdictOutcome.Reject
            ? LimitFindings.Judged(Reason(limit, m.Grain, VerdictOutcome.Reject, steepest, limit.SteepestOneIn, limit.SteepestOneIn, "even for the middle half of the depth"))
            : LimitFindings.Judged();
    }

    /// <summary>Reject when this face alone breaks the limit, accept when no adjacent face as flat could make it break, else hold.</summary>
    private static VerdictOutcome OneFace(Measured steepness, double limitOneIn, double noCombinedFromOneIn)
    {
        if (DecisionRule.AtMost(steepness, 1 / limitOneIn) == VerdictOutcome.Reject)
            return VerdictOutcome.Reject;
        return DecisionRule.AtMost(steepness, 1 / noCombinedFromOneIn) == VerdictOutcome.Accept ? VerdictOutcome.Accept : VerdictOutcome.Hold;
    }

    /// <summary>The steeper of two slopes, as a steepness; its interval reaches from the greater low end to the greater high end.</summary>
    private static Measured Steepest(Measured a, Measured b)
    {
        var (x, y) = (a.Magnitude(), b.Magnitude());
        return new Measured(Math.Max(x.Value, y.Value), Math.Max(x.Low, y.Low), Math.Max(x.High, y.High), Math.Min(x.Level, y.Level));
    }

    private static Reason Reason(
        Limit limit, GrainFinding grain, VerdictOutcome outcome, Measured steepness, double limitOneIn, double noCombinedFromOneIn, string where)
    {
        var read = grain.Basis == GrainBasis.RingLines ? "ring lines" : "fibre streaks";
        var text = $"Steepest slope of grain {ReasonText.OneIn(steepness)} (from {read}) against at most 1:{ReasonText.Plain(limitOneIn)} {where}: "
            + $"{ReasonText.Word(outcome)}. Source: {limit.Source}.";
        var between = DecisionRule.AtMost(steepness, 1 / limitOneIn) == VerdictOutcome.Accept;
        var check = outcome != VerdictOutcome.Hold ? null
            : between
                ? $"Measure the adjacent face and combine the two slopes (root of the sum of squares): only where neither is steeper than 1:{ReasonText.Plain(noCombinedFromOneIn)} is one face enough."
                : MeasureByHand;
        return new Reason(limit.Id, outcome, text, limit.Source, "slope", steepness, 1 / limitOneIn, Unit, grain.WorstWindowCentre, check);
    }

    private static Reason? Missing(Limit limit, Measurement m)
    {
        if (CannotSayReader.Find(m, Topic.Grain) is { } cannot)
            return CannotSayReader.Hold(limit, cannot);
        if (m.Grain is not { } grain)
            return new Reason(limit.Id, VerdictOutcome.Hold, "The slope of grain of this face was not measured.", limit.Source, HandCheck: MeasureByHand);
        return DecisionRule.IsUsable(grain.Slope) && DecisionRule.IsUsable(grain.WorstWindow)
            ? null
            : new Reason(limit.Id, VerdictOutcome.Hold, "The slope of grain found has no usable interval.", limit.Source, HandCheck: MeasureByHand);
    }
}
