using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Presentation.Reports;

/// <summary>A line of the report that several pieces share.</summary>
/// <param name="Text">In words.</param>
/// <param name="Pieces">Numbers of the pieces, ascending.</param>
internal sealed record SharedLine(string Text, IReadOnlyList<int> Pieces);

/// <summary>What the first page says about all pieces: reasons for the mill and questions left, each once.</summary>
internal static class ReportDigest
{
    /// <summary>
    /// Why pieces are rejected, one line a piece and limit, the gravest finding of it; a limit that several uses share is said once, with the
    /// uses it fails.
    /// </summary>
    public static IReadOnlyList<SharedLine> ForTheMill(DeliveryReport report)
    {
        var lines = new List<SharedLine>();
        foreach (var piece in report.Pieces)
        {
            var broken = piece.Verdicts.Zip(piece.Standing).Where(v => v.Second.Outcome == VerdictOutcome.Reject).SelectMany(v => Rejected(v.First, v.Second).Select(text => (v.First.Use, Text: text)));
            foreach (var same in broken.GroupBy(b => b.Text, StringComparer.Ordinal))
                lines.Add(new SharedLine($"{same.Key} Fails as: {string.Join(", ", same.Select(b => b.Use).Distinct())}.", [piece.Piece.Number]));
        }

        return lines;
    }

    /// <summary>The limits that were broken; of a piece that a person rejected beyond the rule, that person's reason.</summary>
    private static IReadOnlyList<string> Rejected(Verdict verdict, UseStanding standing) => verdict.Outcome == VerdictOutcome.Reject
        ? Brief(verdict)
        : [$"Rejected by {standing.Decision?.Person}: {(standing.Decision?.Reason ?? "no reason given").TrimEnd('.')}."];

    /// <summary>Where the limits that pieces break are published, each once.</summary>
    public static IReadOnlyList<string> Sources(DeliveryReport report) =>
    [
        .. report.Pieces.SelectMany(p => p.Verdicts).SelectMany(v => v.Reasons).Where(r => r.Outcome == VerdictOutcome.Reject)
            .Select(r => r.Source).Where(s => s.Length > 0).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal),
    ];

    /// <summary>
    /// What made the verdict, one line a limit: the first finding in the judge's order, gravest first, and how many others say the same.
    /// </summary>
    public static IReadOnlyList<string> Brief(Verdict verdict) =>
    [
        .. verdict.Reasons.Where(r => r.Outcome == verdict.Outcome).GroupBy(r => r.LimitId, StringComparer.Ordinal).Select(g =>
        {
            var text = g.First().Text;
            var others = g.Count() - 1;
            return others == 0 ? text : $"{text} ({others} more of this limit.)";
        }),
    ];

    /// <summary>Questions left, in walking order; one that several pieces share is said once.</summary>
    public static IReadOnlyList<SharedLine> Questions(DeliveryReport report) =>
    [
        .. report.Pieces.SelectMany(p => p.Questions.Select(q => (p.Piece.Number, Question: q)))
            .GroupBy(c => (c.Question.Step, c.Question.Text))
            .Select(g => (g.Key.Step, Line: new SharedLine(g.Key.Text, [.. g.Select(c => c.Number).Distinct().Order()])))
            .OrderBy(l => l.Step).ThenByDescending(l => l.Line.Pieces.Count).ThenBy(l => l.Line.Pieces[0]).ThenBy(l => l.Line.Text, StringComparer.Ordinal)
            .Select(l => l.Line),
    ];
}
