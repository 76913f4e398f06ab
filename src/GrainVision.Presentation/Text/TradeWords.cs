using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Presentation.Text;

/// <summary>Trade words of one photo's findings, as the picture, its alt text and the reports write them.</summary>
internal static class TradeWords
{
    /// <summary>0.95: from here on a mark is called what it is taken for, as the judge does; below it, "perhaps".</summary>
    private const double Sure = 0.95;

    /// <summary>Why there is no verdict.</summary>
    public static string WhyNotJudged(Measurement m) => m.CheckTarget is null ? "no use was named, so it is not judged by itself" : "printed check target, not wood";

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

    /// <summary>"knot 9 mm", "check 24 mm long", with a question mark where it is not sure: "knot? 9 mm". For a line of a picture.</summary>
    public static string BriefBlemish(BlemishFinding b) => $"{Called(b.Kind, b.Probability)} {Extent(b.Kind, b.DiameterMm.Value, b.LengthMm)}".TrimEnd();

    /// <summary>"check", or "check?" where it is not sure.</summary>
    public static string Called(BlemishKind kind, double probability) =>
        kind == BlemishKind.Unknown ? "odd mark?" : BlemishWords.From(kind) + (probability >= Sure ? "" : "?");

    /// <summary>With a capital, as a sentence begins.</summary>
    public static string Sentence(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    /// <summary>What is long is told by its length, what is round by its diameter.</summary>
    public static string Extent(BlemishKind kind, double diameterMm, double lengthMm) => kind switch
    {
        BlemishKind.Pith => "",
        BlemishKind.Check or BlemishKind.ShakeOrSplit or BlemishKind.PitchPocket or BlemishKind.SpikeKnot or BlemishKind.Stain or BlemishKind.DentOrGouge or BlemishKind.Unknown =>
            $"{Mm(lengthMm)} long",
        _ => Mm(diameterMm),
    };

    private static string Mm(double mm) => double.IsFinite(mm) ? $"{Figures.Number(Math.Max(1, mm), 0)}\u00A0mm" : "";

    /// <summary>"knot, diameter 6.2 mm (5.8 to 6.6), 40 mm from corner 1 along the length, 12 mm to the nearest edge".</summary>
    public static string Blemish(BlemishFinding b, View view)
    {
        var along = view == Grading.Findings.View.Face ? "along the length" : "along side 1-2";
        return $"{(b.Probability >= Sure || b.Kind == BlemishKind.Unknown ? "" : "perhaps a ")}{BlemishWords.From(b.Kind)}, diameter {Figures.Span(b.DiameterMm, " mm")}, {Figures.Number(b.AlongMm, 0)} mm from corner 1 {along}, "
            + $"{Figures.Number(b.EdgeDistanceMm, 0)} mm to the nearest edge";
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

    public static string Species(string? kebab) => string.IsNullOrWhiteSpace(kebab) ? "" : SpeciesWords.From(kebab);
}
