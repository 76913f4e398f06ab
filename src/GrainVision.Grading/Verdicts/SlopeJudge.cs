using GrainVision.Grading.Findings;
using GrainVision.Grading.Lumber;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// Slope of grain of one face. Steeper than the limit on one face alone is a reject; flat enough that the adjacent face
/// cannot bring the two together over the limit is an accept; between them the adjacent face must be measured.
/// </summary>
internal static class SlopeJudge
{
    private const string Unit = "tangent";

    private const string MeasureByHand =
        "Scribe or ink the grain on this face over a length that shows its general slope, and measure its deviation from the long axis.";

    private const string Combine = "Measure the adjacent face and combine the two slopes (root of the sum of squares).";

    private const string FlatGrainFace =
        "Slope was read from ring lines, which do not show spiral grain: ink, scribe or split on the flat-grain face.";

    internal static LimitAssessment Judge(SlopeOfGrain limit, Measurement m)
    {
        if (m.View != View.Face)
            return LimitAssessment.NotShown($"Slope of grain on all four faces: {Wanted(limit, m.Species)} ({limit.MainSource}).");
        if (Missing(limit, m) is { } missing)
            return LimitAssessment.Judged(missing);
        var grain = m.Grain!;
        var steepest = Steepest(grain, out var quantity);
        var flatEnough = 1 / limit.NoCombinedCheckFromOneIn;
        var answer = SpeciesJudge.Judge(limit, m.Species, r => r.SteepestOneIn, r => OneFace(steepest, 1 / r.SteepestOneIn, flatEnough));
        if (answer.Row is not { } row)
            return LimitAssessment.Judged(SpeciesJudge.NotListed(limit, m.Species));
        var reason = Reason(limit, answer.Outcome, m, steepest, quantity, row.SteepestOneIn, answer.Whose,
            answer.SpeciesWouldSettle ? SpeciesJudge.StateIt : null) with { Asks = answer.SpeciesWouldSettle ? QuestionCode.Species : null };
        var checks = new List<string>();
        // Streaks have their own reason to hold: UnprovenStreaks.
        if (grain.Basis == GrainBasis.RingLines)
            checks.Add(FlatGrainFace);
        if (SpeciesJudge.NameOf(m.Species) is null)
            checks.Add(SpeciesJudge.StateIt);
        return new LimitAssessment([reason], checks, []);
    }

    internal static LimitAssessment Judge(SlopeOuterPart limit, Measurement m)
    {
        var part = limit.Part == OuterPart.OuterEighth ? "outer eighth" : "outer quarter";
        if (m.View != View.Face)
            return LimitAssessment.NotShown($"Slope of grain in the {part} of the faces: not steeper than 1:{ReasonText.Plain(limit.SteepestOneIn)} ({limit.MainSource}).");
        if (Missing(limit, m) is { } missing)
            return LimitAssessment.Judged(missing);
        var hand = $"Scribe or ink the grain in the {part} along both edges of this face: not steeper than 1:{ReasonText.Plain(limit.SteepestOneIn)}.";
        if (m.Grain!.OuterEighths is not { } outer)
            return LimitAssessment.Judged(new Reason(limit.Id, VerdictOutcome.Hold, $"The slope in the {part} of this face was not measured.", limit.Source, HandCheck: hand));
        var (steep, flatEnough) = (1 / limit.SteepestOneIn, 1 / limit.NoCombinedCheckFromOneIn);
        var outcome = OneFace(outer.Magnitude(), steep, flatEnough);
        var (shown, quantity) = (outer.Magnitude(), "outerEighths");
        // The outer eighths are only half of the outer quarters: the rest is covered by the steepest window of the whole face.
        if (limit.Part == OuterPart.OuterQuarter && outcome == VerdictOutcome.Accept
            && OneFace(m.Grain.WorstWindow.Magnitude(), steep, flatEnough) != VerdictOutcome.Accept)
        {
            outcome = VerdictOutcome.Hold;
            (shown, quantity) = (m.Grain.WorstWindow.Magnitude(), "worstWindow");
        }

        return LimitAssessment.Judged(Reason(limit, outcome, m, shown, quantity, limit.SteepestOneIn, $"in the {part}", $"{hand} {Combine}"));
    }

    internal static LimitAssessment Judge(SlopeMiddleHalf limit, Measurement m)
    {
        if (m.View != View.Face)
            return LimitAssessment.Judged();
        if (Missing(limit, m) is { } missing)
            return LimitAssessment.Judged(missing);
        var steepest = Steepest(m.Grain!, out var quantity);
        var outcome = GuardedAcceptance.AtMost(steepest, 1 / limit.SteepestOneIn);
        return LimitAssessment.Judged(Reason(limit, outcome, m, steepest, quantity, limit.SteepestOneIn, "anywhere", null));
    }

    /// <summary>
    /// Two adjacent faces of one piece against the limit: the combined slope decides. Two faces at right angles cannot both be
    /// radial, so ring lines on both say nothing of the fibres on one of them (ANC-19 2.3206): that never decides.
    /// </summary>
    internal static Reason Combined(SlopeOfGrain limit, string? species, GrainFinding first, GrainFinding second)
    {
        var (one, two) = (Steepest(first, out _), Steepest(second, out _));
        var combined = GuardedAcceptance.IsUsable(one) && GuardedAcceptance.IsUsable(two) ? GrainSlope.Combined(one, two) : default;
        var ringLinesOnly = first.Basis != GrainBasis.FibreStreaks && second.Basis != GrainBasis.FibreStreaks;
        var answer = SpeciesJudge.Judge(limit, species, r => r.SteepestOneIn, r => ringLinesOnly ? VerdictOutcome.Hold : GuardedAcceptance.AtMost(combined, 1 / r.SteepestOneIn));
        if (answer.Row is not { } row)
            return SpeciesJudge.NotListed(limit, species);
        var chance = ringLinesOnly
            ? ": open, both were read from ring lines, and on one of two adjacent faces these do not show the fibres"
            : RingJudge.Chance(answer.Outcome, combined, null, 1 / row.SteepestOneIn);
        var text = $"Slopes of two adjacent faces combined {ReasonText.OneIn(combined, row.SteepestOneIn)} against not steeper than 1:{ReasonText.Plain(row.SteepestOneIn)} {answer.Whose}"
            + $"{chance}.";
        return new Reason(limit.Id, answer.Outcome, text, limit.Source, "combinedSlope", combined, 1 / row.SteepestOneIn, Unit,
            HandCheck: answer.Outcome != VerdictOutcome.Hold ? null : ringLinesOnly ? FlatGrainFace : answer.SpeciesWouldSettle ? SpeciesJudge.StateIt : MeasureByHand)
        {
            Asks = !ringLinesOnly && answer.SpeciesWouldSettle ? QuestionCode.Species : null,
        };
    }

    /// <summary>The outer part of a face with the steepest of its adjacent face.</summary>
    internal static Reason Combined(SlopeOuterPart limit, GrainFinding face, GrainFinding adjacent)
    {
        var part = limit.Part == OuterPart.OuterEighth ? "outer eighth" : "outer quarter";
        // The outer eighths are only half of the outer quarters: there the steepest window of the whole face stands in.
        var outer = (limit.Part == OuterPart.OuterEighth ? face.OuterEighths?.Magnitude() : Steepest(face, out _)) ?? default;
        var other = Steepest(adjacent, out _);
        var combined = GuardedAcceptance.IsUsable(outer) && GuardedAcceptance.IsUsable(other) ? GrainSlope.Combined(outer, other) : default;
        var ringLinesOnly = face.Basis != GrainBasis.FibreStreaks && adjacent.Basis != GrainBasis.FibreStreaks;
        var judged = ringLinesOnly ? VerdictOutcome.Hold : GuardedAcceptance.AtMost(combined, 1 / limit.SteepestOneIn);
        // The steepest of a face need not lie in its outer part, nor beside the steepest of the next: that passes what it passes, and no more.
        var outcome = judged == VerdictOutcome.Accept ? VerdictOutcome.Accept : VerdictOutcome.Hold;
        var text = $"Slope in the {part} combined with the adjacent face {ReasonText.OneIn(combined, limit.SteepestOneIn)} against not steeper than 1:{ReasonText.Plain(limit.SteepestOneIn)}: {ReasonText.Word(outcome)}.";
        return new Reason(limit.Id, outcome, text, limit.Source, "combinedOuterSlope", combined, 1 / limit.SteepestOneIn, Unit,
            HandCheck: outcome == VerdictOutcome.Accept ? null : $"Scribe or ink the grain in the {part} along both edges of this face: not steeper than 1:{ReasonText.Plain(limit.SteepestOneIn)}. {Combine}");
    }

    /// <summary>One face alone: over the limit rejects, under the flat bound accepts, all else holds.</summary>
    internal static VerdictOutcome OneFace(Measured steepness, double limit, double flatEnough) =>
        GuardedAcceptance.AtMost(steepness, limit) == VerdictOutcome.Reject ? VerdictOutcome.Reject
        : GuardedAcceptance.AtMost(steepness, flatEnough) == VerdictOutcome.Accept ? VerdictOutcome.Accept
        : VerdictOutcome.Hold;

    /// <summary>
    /// Interval of the steepest of the slopes found: greatest value, greatest low end and greatest high end. Unusable where one of
    /// them is, so that nothing is decided by half a finding.
    /// </summary>
    internal static Measured Steepest(GrainFinding grain, out string quantity)
    {
        var slopes = Slopes(grain).ToList();
        quantity = slopes.MaxBy(s => s.Slope.Magnitude().Value).Quantity;
        if (!slopes.All(s => GuardedAcceptance.IsUsable(s.Slope)))
            return default;
        var steep = slopes.ConvertAll(s => s.Slope.Magnitude());
        return new Measured(steep.Max(s => s.Value), steep.Max(s => s.Low), steep.Max(s => s.High), steep.Min(s => s.Level));
    }

    private static IEnumerable<(Measured Slope, string Quantity)> Slopes(GrainFinding grain)
    {
        yield return (grain.WorstWindow, "worstWindow");
        yield return (grain.Slope, "slope");
        if (grain.OuterEighths is { } outer)
            yield return (outer, "outerEighths");
    }

    private static Reason Reason(
        Limit limit, VerdictOutcome outcome, Measurement m, Measured steepness, string quantity, double oneIn, string whose, string? settles)
    {
        var streaks = m.Grain!.Basis == GrainBasis.FibreStreaks;
        var flat = outcome == VerdictOutcome.Hold && GuardedAcceptance.AtMost(steepness, 1 / oneIn) == VerdictOutcome.Accept;
        var chance = flat ? ": met on this face alone, open with the adjacent one" : RingJudge.Chance(outcome, steepness, null, 1 / oneIn);
        var text = $"{Name(quantity)} {ReasonText.OneIn(steepness, oneIn)} against not steeper than 1:{ReasonText.Plain(oneIn)} {whose}{chance}. "
            + (streaks ? "Read from fibre streaks." : "Read from ring lines of this face, which do not show spiral grain.");
        return new Reason(limit.Id, outcome, text, limit.Source, quantity, steepness, 1 / oneIn, Unit, m.Grain.WorstWindowCentre,
            outcome == VerdictOutcome.Hold ? settles ?? (flat ? Combine : $"{MeasureByHand} {Combine}") : null);
    }

    private static string Name(string quantity) => quantity switch
    {
        "worstWindow" => "Slope where it is steepest",
        "outerEighths" => "Slope in the outer eighth",
        "combinedSlope" => "Slope of two faces combined",
        _ => "Slope of grain",
    };

    private static Reason? Missing(Limit limit, Measurement m)
    {
        if (CannotSayReasons.Find(m, CannotSayTopic.Grain) is { } cannot)
            return CannotSayReasons.Hold(limit, cannot);
        return m.Grain is null
            ? new Reason(limit.Id, VerdictOutcome.Hold, "The slope of grain of this face was not measured.", limit.Source, HandCheck: MeasureByHand)
            : null;
    }

    private static string Wanted(SlopeOfGrain limit, string? species)
    {
        var rows = SpeciesJudge.Rows(limit, species);
        return rows.Count == 0
            ? $"no published limit for {SpeciesJudge.NameOf(species)}; defer to approved data"
            : $"not steeper than 1:{ReasonText.Plain(rows.Max(r => r.SteepestOneIn))}, two adjacent faces combined";
    }
}
