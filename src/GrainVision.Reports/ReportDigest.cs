using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Reports;

/// <summary>A line of the report that several pieces share.</summary>
/// <param name="Text">In words.</param>
/// <param name="Pieces">Numbers of the pieces, ascending.</param>
internal sealed record SharedLine(string Text, IReadOnlyList<int> Pieces);

/// <summary>What the first page says about all pieces: reasons for the mill and hand checks left, each once.</summary>
internal static class ReportDigest
{
    /// <summary>
    /// Why pieces are rejected, one line a piece and limit; a limit that several uses share is said once, with the uses it fails.
    /// </summary>
    public static IReadOnlyList<SharedLine> ForTheMill(DeliveryReport report)
    {
        var lines = new List<SharedLine>();
        foreach (var piece in report.Pieces)
        {
            var broken = piece.Verdicts.SelectMany(v => v.Reasons.Where(r => r.Outcome == VerdictOutcome.Reject).Select(r => (v.Use, r.Text, r.Source)));
            foreach (var same in broken.GroupBy(b => (b.Text, b.Source)))
                lines.Add(new SharedLine($"{same.Key.Text} [{same.Key.Source}] Fails as: {string.Join(", ", same.Select(b => b.Use).Distinct())}.", [piece.Piece.Number]));
        }

        return lines;
    }

    /// <summary>Hand checks still to do, the ones that most pieces need first. Pieces that every use rejects need none.</summary>
    public static IReadOnlyList<SharedLine> HandChecks(DeliveryReport report) =>
    [
        .. report.Pieces
            .Where(p => p.Verdicts.Any(v => v.Outcome != VerdictOutcome.Reject))
            .SelectMany(p => Of(p).Select(text => (p.Piece.Number, Text: text)))
            .GroupBy(c => c.Text, StringComparer.Ordinal)
            .Select(g => new SharedLine(g.Key, [.. g.Select(c => c.Number).Distinct().Order()]))
            .OrderByDescending(l => l.Pieces.Count).ThenBy(l => l.Pieces[0]).ThenBy(l => l.Text, StringComparer.Ordinal),
    ];

    /// <summary>Hand checks of one piece, each once: what holds it first, then what is to be done whatever the outcome.</summary>
    public static IReadOnlyList<string> Of(PieceReport piece)
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
