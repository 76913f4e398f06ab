using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Presentation.Text;

/// <summary>A limit against what was found, in the trade's words.</summary>
/// <param name="Subject">What was judged, as a sentence begins: "Worst inch".</param>
/// <param name="Found">What was found, with its unit and interval: "4.2 rings per inch (4.0 to 4.5)"; empty where the subject says it all.</param>
/// <param name="Asked">What is asked: "at least 6", "none permitted".</param>
internal sealed record LimitWords(string Subject, string Found, string Asked);

/// <summary>
/// Reasons as people read them, made from their codes: quantity, value, limit, mark. The judge's own sentence serves where there is no number.
/// </summary>
internal static class ReasonWords
{
    /// <summary>What made the verdict of one photo, for the line above it; measured values stand in the picture's numbers and are not said again.</summary>
    public static string Why(Verdict verdict, Measurement measurement)
    {
        var these = verdict.Reasons.Where(r => r.Outcome == verdict.Outcome).ToList();
        if (these is not [var main, ..])
            return "";
        if (verdict.Outcome == VerdictOutcome.Accept)
            return these.Count == 1 ? "The one limit that this photo can show is met." : $"All {Figures.Whole(these.Count)} limits that this photo can show are met.";
        var others = these.Select(r => r.LimitId).Distinct(StringComparer.Ordinal).Count() - 1;
        return Brief(main, measurement) + (others == 0 ? "" : others == 1 ? " And one more limit." : $" And {Figures.Whole(others)} more limits.");
    }

    /// <summary>Subject, value and limit of a reason; null where no number was compared, or the codes are not known here.</summary>
    /// <param name="reason">Of a photo or a piece.</param>
    /// <param name="mark">What the mark is called, where it speaks of one: "Check, 24 mm long".</param>
    public static LimitWords? Of(Reason reason, string? mark)
    {
        if (reason.Quantity is not { } quantity || Asked(reason) is not { } asked)
            return null;
        var found = reason.Measured is { } m ? Found(quantity, m, reason.Limit) : "";
        return (mark, Subject(quantity)) switch
        {
            ({ } name, null) => new LimitWords(name, "", asked),
            ({ } name, { } what) => new LimitWords($"{name}: {char.ToLowerInvariant(what[0])}{what[1..]}", found, asked),
            (null, { } what) => new LimitWords(what, found, asked),
            _ => null,
        };
    }

    private static string Brief(Reason reason, Measurement measurement)
    {
        var number = measurement.Blemishes.Select((b, i) => (Blemish: b, Number: i + 1)).FirstOrDefault(b => reason.At == b.Blemish.Centre);
        var mark = number.Number > 0 ? $"Mark {Figures.Whole(number.Number)}" : null;
        if (mark is not null && reason is { Quantity: "kind", Outcome: VerdictOutcome.Hold })
            return $"{mark}, {TradeWords.Called(number.Blemish.Kind, number.Blemish.Probability)}: to be looked at.";
        if (Of(reason, mark) is not { } words)
            return reason.Text.TrimEnd('.') + ".";
        return $"{words.Subject}{(words.Subject.Contains(':', StringComparison.Ordinal) ? "" : ":")} {(reason.Outcome == VerdictOutcome.Reject ? "broken" : "open")}, {words.Asked}.";
    }

    /// <summary>Null for what is a mark's mere presence.</summary>
    private static string? Subject(string quantity) => quantity switch
    {
        "worstInch" => "Worst inch",
        "perInch" => "Rings over the whole radius",
        "ringAngle" => "Ring angle",
        "pithInsideMm" => "Pith",
        "worstWindow" => "Steepest slope of grain",
        "outerEighths" => "Slope of grain in the outer eighth",
        "combinedSlope" => "True slope of grain",
        "combinedOuterSlope" => "True slope of grain near the edge",
        "edgeSlope" => "Grain at the edge beside it",
        "diameterMm" => "Diameter",
        "lengthMm" => "Length",
        "widthMm" => "Width",
        "edgeDistanceMm" => "Distance from the edge",
        "spacingMm" => "Distance to the next",
        "faceWidthMm" => "Width of the face",
        "specificGravity" => "Specific gravity",
        _ => null,
    };

    private static string Found(string quantity, Measured m, double? limit) => quantity switch
    {
        "worstInch" or "perInch" => $"{Figures.Best(m, RingDecimals(m, limit))} rings per inch ({Figures.Ends(m, "", RingDecimals(m, limit))})",
        "ringAngle" => Figures.Span(m, "°", limit is { } asked && Math.Abs(m.Value - asked) < 2 ? 1 : 0),
        "pithInsideMm" => $"{Figures.Number(Math.Abs(m.Value), 0)} mm {(m.Value > 0 ? "inside" : "outside")} the section",
        "worstWindow" or "outerEighths" or "combinedSlope" or "combinedOuterSlope" or "edgeSlope" => SlopeWords.From(m, limit is > 0 and var t ? 1 / t : 1),
        "specificGravity" => Figures.Span(m),
        _ => $"{Figures.Length(m.Value)}{(m.Low == m.High ? "" : $", {Figures.Ends(m)} mm")}",
    };

    private static string? Asked(Reason reason) => (reason.Quantity, reason.Limit) switch
    {
        ("kind", _) => "none permitted",
        ("face", _) => "none permitted on an edge face",
        ("cut", _) => "permitted on a flat-sawn face only",
        ("pithInsideMm", _) => "none inside",
        ("edgeDistanceMm", _) => "too near the edge",
        ("worstInch", { } least) => $"at least {Figures.Plain(least)} asked",
        ("perInch", { } most) => $"at most {Figures.Plain(most)} asked",
        ("ringAngle", { } least) => $"at least {Figures.Plain(least)}° asked",
        ("worstWindow" or "outerEighths" or "combinedSlope" or "combinedOuterSlope" or "edgeSlope", > 0 and var tangent) => $"1:{Figures.Plain(Math.Round(1 / tangent, 2))} or straighter asked",
        ("diameterMm" or "lengthMm" or "widthMm", { } most) => $"at most {Figures.Length(most)}",
        ("spacingMm" or "faceWidthMm", { } least) => $"at least {Figures.Length(least)}",
        ("specificGravity", { } least) => $"at least {Figures.Plain(least)} asked",
        _ => null,
    };

    /// <summary>One decimal, as rings are counted; two where an end within 0.1 of the limit would be rounded onto it.</summary>
    private static int RingDecimals(Measured m, double? limit) => limit is { } l && new[] { m.Value, m.Low, m.High }.Any(v => Math.Abs(v - l) is > 1e-9 and < 0.1) ? 2 : 1;
}
