using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;

namespace GrainVision.Presentation.Pictures;

/// <summary>The picture in words: verdict first, then values, blemishes and where they are, and what cannot be said.</summary>
public static class AltText
{
    /// <summary>30: nobody listens to more; all of them are in the record.</summary>
    private const int BlemishesTold = 30;

    /// <summary>Plain text in sentences: whoever puts it in a page escapes it.</summary>
    public static string From(Measurement m)
    {
        ArgumentNullException.ThrowIfNull(m);
        var parts = new List<string> { Opening(m) };
        if (m.Verdict is { } verdict)
            parts.AddRange(TellVerdict(verdict));
        else
            parts.Add($"Measured; {TradeWords.WhyNotJudged(m)}.");
        if (m.Rings is { } r)
            parts.Add($"{Figures.Whole(r.Count)} rings counted: {Figures.Span(r.PerInch)} rings per inch; in the worst inch {Figures.Span(r.WorstInch)}.");
        if (m.RingAngle is { } a)
            parts.Add(TellAngle(a));
        if (m.Grain is { } g)
            parts.Add($"Slope of grain {SlopeWords.From(g.Slope)}, {TradeWords.Drift(g.Slope)}, {TradeWords.Basis(g.Basis)}; at its steepest {SlopeWords.From(g.WorstWindow)}.");
        parts.Add(TellBlemishes(m));
        if (TradeWords.Dismissed(m) is { } dismissed)
            parts.Add(dismissed + ".");
        foreach (var c in m.CannotSay)
            parts.Add($"Cannot say: {Sentence(c.Subject + ": " + c.Why)} By hand: {Sentence(c.HandCheck)}");
        foreach (var w in m.Warnings)
            parts.Add("Note: " + Sentence(w.Message));
        var checks = (m.Verdict?.HandChecks ?? [])
            .Except(m.CannotSay.Select(c => c.HandCheck))
            .Except(m.Verdict?.Reasons.Where(r => r.Outcome == m.Verdict.Outcome && r.Outcome != VerdictOutcome.Accept).Select(r => r.HandCheck ?? "") ?? []).ToArray();
        if (checks.Length > 0)
            parts.Add("Still to check by hand: " + string.Join(' ', checks.Select(Sentence)));
        parts.Add($"Scale {Figures.Span(m.Scale.PixelsPerMm)} pixels per mm from {TradeWords.Scale(m.Scale)}. Intervals are 95 %.");
        parts.Add(VerdictCautions.Short);
        return TextBlock.Clean(string.Join(' ', parts));
    }

    private static string Opening(Measurement m)
    {
        var species = TradeWords.Species(m.Species);
        var wood = species.Length == 0 ? "a piece of wood" : "a piece of " + species;
        return m.View == View.End ? $"Photo of an end of {wood} with its measurements drawn on it." : $"Photo of a face of {wood} with its measurements drawn on it.";
    }

    private static IEnumerable<string> TellVerdict(Verdict v)
    {
        yield return $"Verdict: {TradeWords.Outcome(v.Outcome).ToUpperInvariant()}, {v.Scope}, for {v.Use}.";
        foreach (var reason in v.Reasons.Where(r => r.Outcome == v.Outcome && v.Outcome != VerdictOutcome.Accept))
            yield return Sentence(reason.Text) + (reason.HandCheck is { Length: > 0 } check ? " By hand: " + Sentence(check) : "");
    }

    private static string TellAngle(RingAngleFinding a)
    {
        var pith = a.Pith is not { } p ? ""
            : p.Boxed ? " The pith is inside the section."
            : $" The pith is {Figures.Span(p.DistanceMm, " mm")} from the middle of the section.";
        return $"Ring angle to the wide face {Figures.Span(a.Degrees)} degrees, least {Figures.Number(a.Least, 0)}, greatest {Figures.Number(a.Greatest, 0)}: {TradeWords.Cut(a.Cut)}.{pith}";
    }

    private static string TellBlemishes(Measurement m)
    {
        if (m.Blemishes.Count == 0)
            return "No blemish found.";
        var each = m.Blemishes.Take(BlemishesTold).Select((b, i) => $"{Figures.Whole(i + 1)}: {TradeWords.Blemish(b, m.View)}");
        var more = m.Blemishes.Count > BlemishesTold ? $"; and {Figures.Whole(m.Blemishes.Count - BlemishesTold)} more, in the record" : "";
        return $"{Figures.Whole(m.Blemishes.Count)} {(m.Blemishes.Count == 1 ? "blemish" : "blemishes")}. {string.Join("; ", each)}{more}.";
    }

    private static string Sentence(string text)
    {
        var trimmed = text.Trim();
        return trimmed.Length == 0 || ".!?".Contains(trimmed[^1], StringComparison.Ordinal) ? trimmed : trimmed + ".";
    }
}
