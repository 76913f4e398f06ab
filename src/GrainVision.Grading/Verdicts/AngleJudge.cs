using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>Ring angle, cut and pith of an end.</summary>
internal static class AngleJudge
{
    private const string Unit = "deg";

    private const string MeasureByHand =
        "Lay a protractor on this end and measure the angle of the rings to the wide face at the middle and towards both edges.";

    /// <summary>
    /// 60 degrees: rings round a pith inside the section stand at every angle from 0 to 90. Where least and greatest differ
    /// by less than this, the pith is not inside even if it could not be placed. Computed; two thirds of the full span.
    /// </summary>
    private const double BoxedSpreadDeg = 60;

    /// <summary>0.25: a pith that lies outside by this share of its distance from the middle is not at the edge.</summary>
    private const double FarOutside = 0.25;

    internal static LimitAssessment Judge(EdgeGrain limit, Measurement m)
    {
        if (m.View != View.End)
            return LimitAssessment.NotShown($"Ring angle on both ends: {limit.Text} ({limit.MainSource})");
        if (Missing(limit, m) is { } missing)
            return LimitAssessment.Judged(missing);
        var angle = m.RingAngle!;
        var least = At(angle, angle.Least);
        var middle = GuardedAcceptance.AtLeast(angle.Degrees, limit.LeastDeg);
        var outcome = GuardedAcceptance.AtLeast(least, limit.LeastDeg) == VerdictOutcome.Accept && middle == VerdictOutcome.Accept
            ? VerdictOutcome.Accept
            : middle == VerdictOutcome.Reject && (GuardedAcceptance.AtLeast(At(angle, angle.Greatest), limit.LeastDeg) == VerdictOutcome.Reject || TooFlatForShare(limit, m))
                ? VerdictOutcome.Reject
                : VerdictOutcome.Hold;
        var text = $"Ring angle {Show(angle.Degrees, limit.LeastDeg)} at the middle, {Show(least, limit.LeastDeg)} at least and "
            + $"{ReasonText.Plain(Math.Round(angle.Greatest, 1))}° at most, against edge-grained from {ReasonText.Plain(limit.LeastDeg)}° over "
            + $"{ReasonText.Percent(limit.ShareOfDepth)} of the depth: {ReasonText.Word(outcome)}.";
        return LimitAssessment.Judged(new Reason(limit.Id, outcome, text, limit.Source, "ringAngle", angle.Degrees, limit.LeastDeg, Unit,
            Middle(m), outcome == VerdictOutcome.Hold ? $"{MeasureByHand} It must be {ReasonText.Plain(limit.LeastDeg)}° or more over {ReasonText.Percent(limit.ShareOfDepth)} of the depth of both wide faces." : null));
    }

    internal static LimitAssessment Judge(QuarterSawn limit, Measurement m)
    {
        if (m.View != View.End)
            return LimitAssessment.NotShown($"Cut on both ends: {limit.Text} ({limit.MainSource})");
        if (Missing(limit, m) is { } missing)
            return LimitAssessment.Judged(missing);
        var angle = m.RingAngle!.Degrees;
        var outcome = GuardedAcceptance.AtLeast(angle, limit.SureFromDeg) == VerdictOutcome.Accept ? VerdictOutcome.Accept
            : GuardedAcceptance.AtLeast(angle, limit.NeverBelowDeg) == VerdictOutcome.Reject ? VerdictOutcome.Reject
            : VerdictOutcome.Hold;
        var text = $"Ring angle {Show(angle, limit.SureFromDeg, limit.NeverBelowDeg)} at the middle against quarter-sawn from "
            + $"{ReasonText.Plain(limit.SureFromDeg)}° (by one convention from {ReasonText.Plain(limit.NeverBelowDeg)}°): {ReasonText.Word(outcome)}.";
        return LimitAssessment.Judged(new Reason(limit.Id, outcome, text, limit.Source, "ringAngle", angle, limit.SureFromDeg, Unit, Middle(m),
            outcome == VerdictOutcome.Hold ? $"{MeasureByHand} Say which convention the order means." : null));
    }

    internal static LimitAssessment Judge(BoxedPith limit, Measurement m)
    {
        if (m.View != View.End)
            return LimitAssessment.NotShown("Both ends: no pith inside the section.");
        if (Missing(limit, m) is { } missing)
            return LimitAssessment.Judged(missing);
        var angle = m.RingAngle!;
        return LimitAssessment.Judged(angle.Pith is { } pith ? ByPith(limit, m, angle, pith) : WithoutPith(limit, m, angle));
    }

    private static Reason ByPith(BoxedPith limit, Measurement m, RingAngleFinding angle, PithFinding pith)
    {
        var insideMm = OutlineGeometry.DepthInsidePx(m.Outline, new PointPx(pith.X, pith.Y)) / m.Scale.PixelsPerMm.Value;
        // The farther from the middle, the less deep inside.
        var inside = new Measured(
            insideMm, insideMm - (pith.DistanceMm.High - pith.DistanceMm.Value), insideMm + (pith.DistanceMm.Value - pith.DistanceMm.Low), pith.DistanceMm.Level);
        // Rings that turn by less than they would round a pith inside show that it is not, unless it was placed close to the edge.
        var outsideByTurn = Spread(angle) is >= 0 and < BoxedSpreadDeg && insideMm < -FarOutside * pith.DistanceMm.Value;
        // Outside the outline is a negative depth; both signs of evidence must agree before anything is decided.
        var outcome = !GuardedAcceptance.IsUsable(inside) || !GuardedAcceptance.IsUsable(pith.DistanceMm) ? VerdictOutcome.Hold
            : pith.Boxed && inside.Low > 0 ? VerdictOutcome.Reject
            : !pith.Boxed && (inside.High < 0 || outsideByTurn) ? VerdictOutcome.Accept
            : VerdictOutcome.Hold;
        var where = inside.Value < 0 ? "outside" : "inside";
        var text = $"Pith {ReasonText.Mm(inside.Magnitude())} {where} the section's edge, against none inside: {ReasonText.Word(outcome)}.";
        return new Reason(limit.Id, outcome, text, limit.Source, "pithInsideMm", inside, 0, "mm", new PointPx(pith.X, pith.Y),
            outcome == VerdictOutcome.Hold ? "Look for the pith on both ends: it may not lie inside the section." : null);
    }

    private static Reason WithoutPith(BoxedPith limit, Measurement m, RingAngleFinding angle)
    {
        var spread = Spread(angle);
        var outcome = spread >= 0 && spread < BoxedSpreadDeg ? VerdictOutcome.Accept : VerdictOutcome.Hold;
        var text = $"The rings are too straight to place the pith; their angle varies by {ReasonText.Plain(Math.Round(spread, 1))}° where a pith inside "
            + $"the section would make it vary by 90°: {ReasonText.Word(outcome)}.";
        return new Reason(limit.Id, outcome, text, limit.Source, "ringAngleSpread", Measured.Exact(spread), BoxedSpreadDeg, Unit, Middle(m),
            outcome == VerdictOutcome.Hold ? "Look for the pith on both ends: it may not lie inside the section." : null);
    }

    private static double Spread(RingAngleFinding angle) => angle.Greatest - angle.Least;

    private static Reason? Missing(Limit limit, Measurement m)
    {
        if (CannotSayReasons.Find(m, CannotSayTopic.RingAngle) is { } cannot)
            return CannotSayReasons.Hold(limit, cannot);
        if (m.RingAngle is not { } angle)
            return new Reason(limit.Id, VerdictOutcome.Hold, "The ring angle of this end was not measured.", limit.Source, HandCheck: MeasureByHand);
        var sane = GuardedAcceptance.IsUsable(angle.Degrees) && angle.Degrees.Low >= 0 && angle.Degrees.High <= 90
            && angle.Least >= 0 && angle.Least <= angle.Degrees.High && angle.Greatest <= 90 && angle.Greatest >= angle.Degrees.Low;
        return sane
            ? null
            : new Reason(limit.Id, VerdictOutcome.Hold, "The ring angles found do not fit together.", limit.Source, HandCheck: MeasureByHand);
    }

    /// <summary>Least and greatest come without an interval: they take that of the middle.</summary>
    private static Measured At(RingAngleFinding angle, double degrees) => new Measured(
        degrees,
        degrees - (angle.Degrees.Value - angle.Degrees.Low),
        degrees + (angle.Degrees.High - angle.Degrees.Value),
        angle.Degrees.Level).ClampTo(0, 90);

    /// <summary>
    /// True where, with circular rings, the part of the depth below the limit is sure to be more than the share that may be.
    /// With the pith at distance D from the middle and ring angle a there, the rings stand below 45 degrees within h = D cos a to
    /// each side of the pith's foot on the middle line. The middle is below 45, so that stretch holds it, and its length
    /// inside a depth H is at least the smaller of H/2 and h. Straight rings have their pith far away.
    /// </summary>
    private static bool TooFlatForShare(EdgeGrain limit, Measurement m)
    {
        if (limit.LeastDeg != CutClass.EdgeGrainFromDeg)
            return false;
        var angle = m.RingAngle!;
        if (angle.Pith is not { } pith)
            return angle.Greatest - angle.Least < BoxedSpreadDeg;
        if (m.Size is not { } size || !GuardedAcceptance.IsUsable(size.FirstSideMm) || !GuardedAcceptance.IsUsable(pith.DistanceMm))
            return false;
        var h = Math.Max(0, pith.DistanceMm.Low) * Math.Cos(Units.DegToRad(angle.Degrees.High));
        var depth = size.FirstSideMm.High;
        return Math.Min(size.FirstSideMm.Low / 2, h) > (1 - limit.ShareOfDepth) * depth;
    }

    private static string Show(Measured degrees, params ReadOnlySpan<double> limits) => ReasonText.Interval(degrees, "°", 1, limits);

    private static PointPx? Middle(Measurement m) => m.Outline.Count == 0
        ? null
        : m.Outline.Aggregate(default(PointPx), (a, b) => a + b) * (1.0 / m.Outline.Count);
}
