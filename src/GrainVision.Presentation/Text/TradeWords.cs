using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Presentation.Text;

/// <summary>Trade words of one photo's findings, as the picture, its alt text and the reports write them.</summary>
internal static class TradeWords
{
    /// <summary>Why there is no verdict.</summary>
    public static string WhyNotJudged(Measurement m) => m.CheckTarget is null ? "no rule book was asked for" : "printed check target, not wood";

    /// <summary>"accept", "hold" or "reject"; "not judged" where there is no verdict.</summary>
    public static string Outcome(VerdictOutcome? outcome) => outcome switch
    {
        VerdictOutcome.Accept => "accept",
        VerdictOutcome.Hold => "hold",
        VerdictOutcome.Reject => "reject",
        _ => "not judged",
    };

    public static string View(View view) => view == Grading.Findings.View.End ? "end" : "face";

    public static string Cut(Cut cut) => cut switch
    {
        Grading.Findings.Cut.QuarterSawn => "quarter-sawn",
        Grading.Findings.Cut.RiftSawn => "rift-sawn",
        _ => "flat-sawn",
    };

    /// <summary>"knot, diameter 6.2 mm (5.8 to 6.6), 40 mm from corner 1 along the length, 12 mm to the nearest edge, 93 % sure".</summary>
    public static string Blemish(BlemishFinding b, View view)
    {
        var along = view == Grading.Findings.View.Face ? "along the length" : "along side 1-2";
        return $"{BlemishWords.From(b.Kind)}, diameter {Figures.Span(b.DiameterMm, " mm")}, {Figures.Number(b.AlongMm, 0)} mm from corner 1 {along}, "
            + $"{Figures.Number(b.EdgeDistanceMm, 0)} mm to the nearest edge, {Figures.Number(Math.Floor(Math.Clamp(b.Probability, 0, 1) * 100), 0)} % sure";
    }

    /// <summary>
    /// "14 marks looked at and dismissed": what else was odd, so that nobody takes the drawn blemishes for all that was seen. Null where nothing was dismissed.
    /// </summary>
    public static string? Dismissed(Measurement m) => m.DismissedMarks.Count switch
    {
        0 => null,
        1 => "1 mark looked at and dismissed",
        >= Measurement.MostDismissedMarks => $"{Figures.Whole(Measurement.MostDismissedMarks)} marks or more looked at and dismissed",
        var n => $"{Figures.Whole(n)} marks looked at and dismissed",
    };

    public static string Drift(Measured slope) =>
        slope.Low > 0 ? "drifts towards side 3-4 going from corner 1 to 2"
        : slope.High < 0 ? "drifts towards side 1-2 going from corner 1 to 2"
        : "which way it drifts cannot be told";

    public static string Basis(GrainBasis basis) => basis == GrainBasis.RingLines ? "read from ring lines" : "read from fine fibre streaks";

    public static string Scale(ScaleFinding scale) => scale.Kind switch
    {
        ScaleKind.Card => "printed card",
        ScaleKind.Rule => scale.Unit switch
        {
            SteelRuleUnit.Mm when scale.IsUnitAssumed => "steel rule taken for mm",
            SteelRuleUnit.Mm => "steel rule in mm",
            SteelRuleUnit.Inch => "steel rule in inches",
            _ => "steel rule",
        },
        ScaleKind.Points => "two points a known distance apart",
        ScaleKind.OutlineSize => "stated size of the piece",
        _ => "stated pixels per mm",
    };

    public static string Species(string? kebab) => string.IsNullOrWhiteSpace(kebab) ? "" : kebab.Replace('-', ' ');
}
