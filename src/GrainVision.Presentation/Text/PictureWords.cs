using System.Globalization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Presentation.Text;

/// <summary>Trade words and numbers as the picture and its alt text write them.</summary>
internal static class PictureWords
{
    public const string Caution = "Supports a qualified person. Not an airworthiness approval.";

    private const string NotKnown = "not known";

    public static string Whole(int n) => n.ToString(CultureInfo.InvariantCulture);

    public static string Number(double v, int decimals) =>
        double.IsFinite(v) ? (Math.Round(v, decimals) + 0.0).ToString("F" + Whole(decimals), CultureInfo.InvariantCulture) : NotKnown;

    /// <summary>The best estimate alone, to the decimals that its interval supports.</summary>
    public static string Best(Measured m) => Number(m.Value, Decimals(m));

    /// <summary>
    /// "12.4 (11.8 to 13.1)", or with a unit "77.4° (75.9° to 78.8°)" and "236 mm (215 to 262)". The interval's ends are rounded outwards: a printed interval never looks tighter than the one that was judged,
    /// so none seems to clear a limit that it does not.
    /// </summary>
    public static string Span(Measured m, string unit = "")
    {
        if (!double.IsFinite(m.Value) || !double.IsFinite(m.Low) || !double.IsFinite(m.High))
            return NotKnown;
        var decimals = Decimals(m);
        var inside = unit == "°" ? unit : "";
        return $"{Number(m.Value, decimals)}{unit} ({Outward(m.Low, decimals, up: false)}{inside} to {Outward(m.High, decimals, up: true)}{inside})";
    }

    public static string OneInBest(OneIn n) => n.Value is { } v ? "1:" + Number(v, v < 100 ? 1 : 0) : "straight";

    /// <summary>"1:18.2 (1:15.1 to 1:22.8)"; the steep end comes first.</summary>
    public static string OneInSpan(OneIn n)
    {
        if (n is not { Value: null or (>= 0 and < double.PositiveInfinity), Low: null or (>= 0 and < double.PositiveInfinity), High: null or (>= 0 and < double.PositiveInfinity) })
            return NotKnown;
        string End(double? v, bool up) => v is { } x ? "1:" + Outward(x, x < 100 ? 1 : 0, up) : "straight";
        return $"{OneInBest(n)} ({End(n.Low, up: false)} to {End(n.High, up: true)})";
    }

    /// <summary>Why there is no verdict.</summary>
    public static string WhyNotJudged(Measurement m) => m.CheckTarget is null ? "no rule book was asked for" : "printed check target, not wood";

    public static string Outcome(VerdictOutcome? outcome) => outcome switch
    {
        VerdictOutcome.Accept => "ACCEPT",
        VerdictOutcome.Hold => "HOLD",
        VerdictOutcome.Reject => "REJECT",
        _ => "NOT JUDGED",
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
        return $"{BlemishWords.From(b.Kind)}, diameter {Span(b.DiameterMm, " mm")}, {Number(b.AlongMm, 0)} mm from corner 1 {along}, "
            + $"{Number(b.EdgeDistanceMm, 0)} mm to the nearest edge, {Number(Math.Floor(Math.Clamp(b.Probability, 0, 1) * 100), 0)} % sure";
    }

    /// <summary>
    /// "14 marks looked at and dismissed": what else was odd, so that nobody takes the drawn blemishes for all that was seen. Null where nothing was dismissed.
    /// </summary>
    public static string? Dismissed(Measurement m) => m.DismissedMarks.Count switch
    {
        0 => null,
        1 => "1 mark looked at and dismissed",
        >= Measurement.MostDismissedMarks => $"{Whole(Measurement.MostDismissedMarks)} marks or more looked at and dismissed",
        var n => $"{Whole(n)} marks looked at and dismissed",
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

    /// <summary>One digit of half the interval where that is 3 or more, else two (common practice): ±0.5 gives one decimal, ±3 none, ±1.1 one.</summary>
    private static int Decimals(Measured m)
    {
        var half = Math.Max(m.High - m.Value, m.Value - m.Low);
        return !double.IsFinite(half) ? 1 : half <= 0 ? 2 : (int)Math.Clamp(-Math.Floor(Math.Log10(half / 3)), 0, 3);
    }

    private static string Outward(double v, int decimals, bool up)
    {
        // The small allowance keeps 12.3 from becoming 12.4 because it is stored as 12.300000000000001.
        var factor = Math.Pow(10, decimals);
        var scaled = v * factor;
        return Number((up ? Math.Ceiling(scaled - 1e-6) : Math.Floor(scaled + 1e-6)) / factor, decimals);
    }
}
