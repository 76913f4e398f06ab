using System.Globalization;
using System.Net;
using System.Text;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Trials;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;

namespace GrainVision.Presentation.Trials;

/// <summary>A trial on one page that a browser shows and prints: plain HTML, plots as SVG, no scripts.</summary>
public static class TrialPage
{
    /// <summary>The page's own style; whoever serves the page lets this through and no other.</summary>
    public const string Style =
        "body{font:16px/1.5 sans-serif;max-width:60em;margin:1em auto;padding:0 1em}section{border-top:2px solid #444;margin-top:1.5em;break-inside:avoid}"
        + "svg{width:100%;height:auto;max-width:46em}th{text-align:left;font-weight:normal;padding-right:1.5em}td{font-weight:bold}";

    /// <param name="report">What was compared.</param>
    /// <param name="by">Who measured by hand.</param>
    /// <param name="at">When the trial was made.</param>
    public static string Write(TrialReport report, string by, DateTimeOffset at)
    {
        ArgumentNullException.ThrowIfNull(report);
        var s = new StringBuilder();
        s.Append("<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>Trial: by hand and by photo</title>");
        s.Append("<style>").Append(Style).Append("</style>");
        s.Append(CultureInfo.InvariantCulture, $"<h1>Trial: by hand and by photo</h1><p>{Count(report.Pieces, "piece")}, {Count(report.Photos, "photo")}; measured by hand by {Html(by)}; {at.UtcDateTime:yyyy-MM-dd}. ");
        s.Append(report.Refused.Count == 0 ? "No photo was refused." : "Refused: " + Html(string.Join(", ", report.Refused.Select(r => $"{r.Value} {r.Key.Replace('-', ' ')}"))) + ".");
        s.Append(CultureInfo.InvariantCulture, $" {VerdictCautions.Short}</p>");
        foreach (var quantity in report.Quantities)
            Section(s, quantity);
        s.Append("<p><small>Method: J. M. Bland, D. G. Altman, Lancet i (1986) 307-310. Differences are photo minus hand.</small></p></html>");
        return s.ToString();
    }

    private static void Section(StringBuilder s, TrialAgreement a)
    {
        var unit = Unit(a.Unit);
        s.Append(CultureInfo.InvariantCulture, $"<section><h2>{Name(a.Quantity)}</h2><table>");
        Row(s, "Photos that gave it", $"{a.Given} of {a.Photos}, of {Count(a.Pieces, "piece")}");
        if (a.Bias is { } bias)
            Row(s, "Photos read on average", $"{Signed(bias.Value)}{unit} off the hand ({Signed(bias.Low)} to {Signed(bias.High)})");
        else
            Row(s, "Agreement", "too few pieces to say: measure at least four");
        if (a is { LowerLimit: { } low, UpperLimit: { } high })
            Row(s, "19 of 20 photos lie within", $"{Signed(low.Value)} to {Signed(high.Value)}{unit} of one measurement by hand (the limits themselves: {Signed(low.Low)} to {Signed(low.High)}, {Signed(high.Low)} to {Signed(high.High)})");
        if (a.PhotoRepeatability is { } photo)
            Row(s, "Two photos of a piece differ by less than", Digits(photo) + unit);
        if (a.HandRepeatability is { } hand)
            Row(s, "Two measurements by hand differ by less than", Digits(hand) + unit);
        if (a.IntervalShare is { } share)
            Row(s, "Intervals that hold the hand's value", string.Create(CultureInfo.InvariantCulture, $"{a.IntervalsHold} of {a.Given} ({share.Low * 100:0} to {share.High * 100:0} % in the long run; they promise 95)") + (a.HandIntervalKnown ? "" : "; how sure the hand was is not known, so its own error counts against them"));
        s.Append("</table>");
        if (a.Points.Count > 0)
            s.Append(AgreementPlot.Draw(a, Name(a.Quantity), unit));
        s.Append("</section>");
    }

    private static void Row(StringBuilder s, string what, string value) => s.Append("<tr><th>").Append(what).Append("<td>").Append(Html(value)).Append("</tr>");

    internal static string Signed(double value) => (value > 0 ? "+" : "") + Digits(value);

    /// <summary>Three digits that count.</summary>
    internal static string Digits(double value)
    {
        var size = Math.Abs(value);
        return Figures.Number(value, size >= 100 ? 0 : size >= 10 ? 1 : 2);
    }

    private static string Name(string quantity) => quantity switch
    {
        "perInch" => "Rings per inch",
        "worstInch" => "Rings per inch, worst inch",
        "ringAngle" => "Ring angle",
        "slope" => "Slope of grain",
        "thickness" => "Thickness",
        "width" => "Width",
        _ => "Largest knot",
    };

    private static string Unit(string unit) => unit switch { "deg" => "°", "mm" => " mm", _ => "" };

    private static string Count(int n, string what) => n == 1 ? $"1 {what}" : $"{Figures.Whole(n)} {what}s";

    private static string Html(string text) => WebUtility.HtmlEncode(text);
}
