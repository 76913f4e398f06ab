using System.Globalization;
using System.Text;

namespace GrainVision.Accuracy;

/// <summary>What the simulated inspections come to: the line, and the tables under it.</summary>
public static class InspectorReport
{
    private const string Good = "Good";

    /// <summary><c>good: X of N accepted, failing: Y of M accepted, questions a piece: median Q, most R, photos a piece: P</c>; questions are counted over good pieces, since a rejected one is asked nothing.</summary>
    public static string Line(IReadOnlyList<InspectedPiece> all)
    {
        var made = all.Where(p => p.Outcome != "not made").ToList();
        var (good, failing) = (made.Where(p => p.Kind == Good).ToList(), made.Where(p => p.Kind != Good).ToList());
        var questions = good.Select(p => p.Asked.Count).Order().ToList();
        return string.Create(
            CultureInfo.InvariantCulture,
            $"good: {Accepted(good)} of {good.Count} accepted, failing: {Accepted(failing)} of {failing.Count} accepted, questions a piece: median {Median(questions)}, most {questions.DefaultIfEmpty(0).Max()}, photos a piece: {made.Select(p => (double)p.Photos).DefaultIfEmpty(0).Average():0.0}");
    }

    /// <summary>The same as Markdown, with why good pieces were not accepted, what was asked, and every failing piece that was accepted.</summary>
    public static string Table(IReadOnlyList<InspectedPiece> all)
    {
        var made = all.Where(p => p.Outcome != "not made").ToList();
        var (good, failing) = (made.Where(p => p.Kind == Good).ToList(), made.Where(p => p.Kind != Good).ToList());
        var text = new StringBuilder();
        text.AppendLine(Line(all)).AppendLine();
        text.AppendLine("| piece | pieces | reject by photos | reject | hold | **accept** | questions, median | most |").AppendLine("|---|---|---|---|---|---|---|---|");
        foreach (var group in failing.GroupBy(p => p.Kind).OrderBy(g => Enum.Parse<Fault>(g.Key)))
            text.AppendLine(Row(FalseAccepts.Words(group.Key), [.. group]));
        text.AppendLine(Row("all made to fail", failing)).AppendLine(Row("good", good)).AppendLine();
        Counts(text, "Good pieces not accepted, by limit", good.Where(p => p.Outcome != "accept").SelectMany(p => p.Why.Select(w => $"{p.Outcome}: {w}")));
        Counts(text, "Questions answered on good pieces, by kind", good.SelectMany(p => p.Asked));
        Counts(text, "Photos refused twice", made.SelectMany(p => p.Refused));
        foreach (var p in failing.Where(p => p.Outcome == "accept"))
            text.AppendLine($"Accepted though failing{(p.Beyond ? "" : " (within the stated uncertainty)")}: seed {p.Seed} {p.Kind}: {p.Story}");
        return text.ToString().TrimEnd();
    }

    /// <summary>A line a good piece that was not accepted.</summary>
    public static string Stories(IReadOnlyList<InspectedPiece> all) =>
        string.Join('\n', all.Where(p => p.Kind == Good && p.Story.Length > 0).Select(p => $"seed {p.Seed} {p.Outcome}: {p.Story}"));

    public static double Median(IReadOnlyList<int> sorted) => sorted.Count == 0 ? 0 : (sorted[(sorted.Count - 1) / 2] + sorted[sorted.Count / 2]) / 2.0;

    private static int Accepted(IEnumerable<InspectedPiece> pieces) => pieces.Count(p => p.Outcome == "accept");

    private static void Counts(StringBuilder text, string title, IEnumerable<string> words)
    {
        var groups = words.GroupBy(w => w).OrderByDescending(g => g.Count()).ThenBy(g => g.Key, StringComparer.Ordinal).ToList();
        if (groups.Count > 0)
            text.AppendLine($"{title}: {string.Join(", ", groups.Select(g => $"{g.Key} {g.Count()}"))}.").AppendLine();
    }

    private static string Row(string name, List<InspectedPiece> group)
    {
        var questions = group.Select(p => p.Asked.Count).Order().ToList();
        return string.Create(
            CultureInfo.InvariantCulture,
            $"| {name} | {group.Count} | {group.Count(p => p.Before == "reject")} | {group.Count(p => p.Outcome == "reject")} | {group.Count(p => p.Outcome == "hold")} | {Accepted(group)} | {Median(questions)} | {questions.DefaultIfEmpty(0).Max()} |");
    }
}
