using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// Pitch pockets by what a photo shows of them: length, width, place, spacing. Their depth it never shows, so a pocket can be rejected
/// from a photo, and held, but not accepted.
/// </summary>
internal static class PitchPocketJudge
{
    private const string Depth = "Probe the pocket's depth and measure its length, width and distance to the edges and to the next pocket.";

    internal static (VerdictOutcome Outcome, string Why, string? Check) InBeam(PitchPocketInBeam limit, Measurement m, BlemishFinding b)
    {
        var length = DecisionRule.AtMost(Length(b), limit.LongestIn * Units.MmPerInch);
        var width = DecisionRule.AtMost(Width(b), limit.WidestIn * Units.MmPerInch);
        return Held([length, width], $"length against {ReasonText.Inches(limit.LongestIn)} {ReasonText.Word(length)}, width against {ReasonText.Inches(limit.WidestIn)} {ReasonText.Word(width)}, "
            + $"depth at most {ReasonText.Inches(limit.DeepestIn)} and {ReasonText.Inches(limit.ApartIn)} apart in one ring not shown");
    }

    internal static (VerdictOutcome Outcome, string Why, string? Check) InSolidSpar(PitchPocketInSolidSpar limit, Measurement m, BlemishFinding b)
    {
        var longestMm = Math.Min(limit.LongestIn * Units.MmPerInch, limit.LengthPerEdgeDistance * Edge(b).High);
        var length = DecisionRule.AtMost(Length(b), longestMm);
        var spacing = VerdictOutcome.Accept;
        foreach (var other in m.Blemishes.Where(o => !ReferenceEquals(o, b) && o.Kind == BlemishKind.PitchPocket))
        {
            var apart = BlemishPlace.WithIntervalOf(Math.Abs(other.AlongMm - b.AlongMm), b.SizeMm);
            var needed = limit.ApartPerShorter * Math.Min(other.LengthMm, b.LengthMm);
            spacing = DecisionRule.Gravest(spacing, DecisionRule.AtLeast(apart, needed));
        }

        return Held([length, spacing], $"length against {ReasonText.Mm(Measured.Exact(longestMm))} {ReasonText.Word(length)}, spacing {ReasonText.Word(spacing)}");
    }

    internal static (VerdictOutcome Outcome, string Why, string? Check) InSmallPart(PitchPocketInSmallPart limit, Measurement m, BlemishFinding b)
    {
        var widthMm = m.Size?.SecondSideMm;
        var large = widthMm is { } w ? DecisionRule.AtLeast(w, limit.NoneBelowIn * Units.MmPerInch) : VerdictOutcome.Hold;
        var width = widthMm is { } face ? DecisionRule.AtMost(Width(b), limit.WidthShare * face.High) : VerdictOutcome.Hold;
        var longestMm = Math.Min(limit.LongestIn * Units.MmPerInch, limit.LengthPerEdgeDistance * Edge(b).High);
        var length = DecisionRule.AtMost(Length(b), longestMm);
        return Held([large, width, length], $"face of {ReasonText.Inches(limit.NoneBelowIn)} or more {ReasonText.Word(large)}, width {ReasonText.Word(width)}, "
            + $"length against {ReasonText.Mm(Measured.Exact(longestMm))} {ReasonText.Word(length)}");
    }

    private static (VerdictOutcome Outcome, string Why, string? Check) Held(IEnumerable<VerdictOutcome> shown, string why) =>
        (DecisionRule.Gravest(shown.Append(VerdictOutcome.Hold)), why, Depth);

    private static Measured Length(BlemishFinding b) => BlemishPlace.WithIntervalOf(b.LengthMm, b.SizeMm);

    private static Measured Width(BlemishFinding b) => BlemishPlace.WithIntervalOf(b.WidthMm, b.SizeMm);

    private static Measured Edge(BlemishFinding b) => BlemishPlace.WithIntervalOf(b.EdgeDistanceMm, b.SizeMm);
}
