using System.Globalization;
using System.Net;
using System.Text;
using GrainVision.Grading.Trials;

namespace GrainVision.Presentation.Trials;

/// <summary>
/// Difference against mean of the two methods, with bias and limits of agreement: J. M. Bland, D. G. Altman, Lancet i (1986) 307-310, figure 2. Each photo's interval is drawn
/// as a bar; a square is a photo whose interval does not hold what the hand found.
/// </summary>
internal static class AgreementPlot
{
    private const double Width = 640, Height = 320, Left = 64, Right = 120, Top = 16, Bottom = 44;

    public static string Draw(TrialAgreement a, string name, string unit)
    {
        var at = a.Points.Select(p => (p.ByHand.Value + p.ByPhoto.Value) / 2).ToList();
        var ends = a.Points.SelectMany(p => new[] { p.ByPhoto.Low - p.ByHand.Value, p.ByPhoto.High - p.ByHand.Value }).Append(0).ToList();
        if (a is { LowerLimit: { } lower, UpperLimit: { } upper })
            ends.AddRange([lower.Value, upper.Value]);
        var (minX, maxX) = Widened(at.Min(), at.Max());
        var (minY, maxY) = Widened(ends.Min(), ends.Max());
        double X(double v) => Left + ((v - minX) / (maxX - minX) * (Width - Left - Right));
        double Y(double v) => Top + ((maxY - v) / (maxY - minY) * (Height - Top - Bottom));

        var s = new StringBuilder();
        s.Append(CultureInfo.InvariantCulture, $"<svg viewBox=\"0 0 {Width} {Height}\" role=\"img\" aria-label=\"{WebUtility.HtmlEncode(name)}: difference against mean, {a.Points.Count} photos\" font-size=\"13\" font-family=\"sans-serif\">");
        s.Append(CultureInfo.InvariantCulture, $"<rect x=\"{Left}\" y=\"{Top}\" width=\"{Width - Left - Right}\" height=\"{Height - Top - Bottom}\" fill=\"none\" stroke=\"#444\"/>");
        Line(s, X(minX), X(maxX), Y(0), "#444", "", "");
        Text(s, Left - 6, Y(0) + 4, "end", "0");
        if (a.Bias is { } bias)
            Line(s, X(minX), X(maxX), Y(bias.Value), "#06c", "", "mean " + TrialPage.Signed(bias.Value));
        if (a is { LowerLimit: { } low, UpperLimit: { } high })
        {
            Line(s, X(minX), X(maxX), Y(low.Value), "#06c", "6 4", TrialPage.Signed(low.Value));
            Line(s, X(minX), X(maxX), Y(high.Value), "#06c", "6 4", TrialPage.Signed(high.Value));
        }

        foreach (var (point, x) in a.Points.Zip(at))
        {
            s.Append(CultureInfo.InvariantCulture, $"<line x1=\"{X(x):0.#}\" x2=\"{X(x):0.#}\" y1=\"{Y(point.ByPhoto.Low - point.ByHand.Value):0.#}\" y2=\"{Y(point.ByPhoto.High - point.ByHand.Value):0.#}\" stroke=\"#999\"/>");
            // A filled square where the interval misses: told apart without colour.
            s.Append(point.Holds
                ? string.Create(CultureInfo.InvariantCulture, $"<circle cx=\"{X(x):0.#}\" cy=\"{Y(point.ByPhoto.Value - point.ByHand.Value):0.#}\" r=\"4\" fill=\"#fff\" stroke=\"#000\">")
                : string.Create(CultureInfo.InvariantCulture, $"<rect x=\"{X(x) - 4:0.#}\" y=\"{Y(point.ByPhoto.Value - point.ByHand.Value) - 4:0.#}\" width=\"8\" height=\"8\" fill=\"#b00\">"));
            s.Append("<title>").Append(WebUtility.HtmlEncode($"{point.Piece}, {point.Photo}")).Append("</title>").Append(point.Holds ? "</circle>" : "</rect>");
        }

        Text(s, Left, Height - 24, "start", TrialPage.Digits(minX) + unit);
        Text(s, Width - Right, Height - 24, "end", TrialPage.Digits(maxX) + unit);
        Text(s, (Left + Width - Right) / 2, Height - 8, "middle", "mean of hand and photo");
        Text(s, Left - 6, Top + 12, "end", TrialPage.Signed(maxY));
        Text(s, Left - 6, Height - Bottom, "end", TrialPage.Signed(minY));
        return s.Append("</svg>").ToString();
    }

    private static void Line(StringBuilder s, double from, double to, double y, string colour, string dashes, string label)
    {
        s.Append(CultureInfo.InvariantCulture, $"<line x1=\"{from:0.#}\" x2=\"{to:0.#}\" y1=\"{y:0.#}\" y2=\"{y:0.#}\" stroke=\"{colour}\" stroke-dasharray=\"{dashes}\"/>");
        Text(s, to + 6, y + 4, "start", label);
    }

    private static void Text(StringBuilder s, double x, double y, string anchor, string text) =>
        s.Append(CultureInfo.InvariantCulture, $"<text x=\"{x:0.#}\" y=\"{y:0.#}\" text-anchor=\"{anchor}\">{WebUtility.HtmlEncode(text)}</text>");

    /// <summary>A tenth more on either side.</summary>
    private static (double Min, double Max) Widened(double min, double max)
    {
        var more = Math.Max((max - min) / 10, Math.Max(1e-6, Math.Abs(max) * 1e-3));
        return (min - more, max + more);
    }
}
