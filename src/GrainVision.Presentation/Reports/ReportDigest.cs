using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Presentation.Reports;

/// <summary>A line of the report that several pieces share.</summary>
/// <param name="Text">In words.</param>
/// <param name="Pieces">Numbers of the pieces, ascending.</param>
internal sealed record SharedLine(string Text, IReadOnlyList<int> Pieces);

/// <summary>What the first page says about all pieces: reasons for the mill and hand checks left, each once.</summary>
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
            var broken = piece.Verdicts.Where(v => v.Outcome == VerdictOutcome.Reject).SelectMany(v => Brief(v).Select(text => (v.Use, Text: text)));
            foreach (var same in broken.GroupBy(b => b.Text, StringComparer.Ordinal))
                lines.Add(new SharedLine($"{same.Key} Fails as: {string.Join(", ", same.Select(b => b.Use).Distinct())}.", [piece.Piece.Number]));
        }

        return lines;
    }

    /// <summary>Where the limits that pieces break are published, each once.</summary>
    public static IReadOnlyList<string> Sources(DeliveryReport report) =>
    [
        .. report.Pieces.SelectMany(p => p.Verdicts).SelectMany(v => v.Reasons).Where(r => r.Outcome == VerdictOutcome.Reject)
            .Select(r => r.Source).Where(s => s.Length > 0).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal),
    ];

    /// <summary>
    /// What made the verdict, one line a limit: the first finding in the judge's order, gravest first, and how many others say the same. The
    /// publication is left out here: it stands once where the lines end.
    /// </summary>
    public static IReadOnlyList<string> Brief(Verdict verdict) =>
    [
        .. verdict.Reasons.Where(r => r.Outcome == verdict.Outcome).GroupBy(r => r.LimitId, StringComparer.Ordinal).Select(g =>
        {
            var text = WithoutSource(g.First().Text);
            var others = g.Count() - 1;
            return others == 0 ? text : $"{text} ({others} more of this limit.)";
        }),
    ];

    /// <summary>The judge ends a sentence with its source; in a list that repeats the same ten words in every line.</summary>
    private static string WithoutSource(string text)
    {
        var at = text.IndexOf(" Source: ", StringComparison.Ordinal);
        return at > 0 ? text[..at] : text;
    }

    /// <summary>Hand checks still to do, the ones that most pieces need first. Pieces that every use rejects need none.</summary>
    public static IReadOnlyList<SharedLine> HandChecks(DeliveryReport report) =>
    [
        .. report.Pieces
            .Where(p => p.Verdicts.Any(v => v.Outcome != VerdictOutcome.Reject))
            .SelectMany(p => From(p).Select(text => (p.Piece.Number, Text: text)))
            .GroupBy(c => c.Text, StringComparer.Ordinal)
            .Select(g => new SharedLine(g.Key, [.. g.Select(c => c.Number).Distinct().Order()]))
            .OrderByDescending(l => l.Pieces.Count).ThenBy(l => l.Pieces[0]).ThenBy(l => l.Text, StringComparer.Ordinal),
    ];

    /// <summary>Hand checks of one piece, each once: what holds it first, then what is to be done whatever the outcome.</summary>
    public static IReadOnlyList<string> From(PieceReport piece)
    {
        var open = piece.Verdicts.Where(v => v.Outcome != VerdictOutcome.Reject).ToList();
        return
        [
            .. open.SelectMany(v => v.Reasons).Where(r => r.Outcome == VerdictOutcome.Hold && !string.IsNullOrWhiteSpace(r.HandCheck)).Select(r => r.HandCheck!)
                .Concat(piece.Findings.CannotSay.Select(c => c.HandCheck))
                .Concat(open.SelectMany(v => v.HandChecks))
                .Where(c => !string.IsNullOrWhiteSpace(c))
                .Distinct(StringComparer.Ordinal),
        ];
    }
}
