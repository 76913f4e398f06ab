using System.Globalization;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;

namespace GrainVision.Presentation.Reports;

/// <summary>
/// The delivery report as one CSV table. Column <c>row</c> says what a row is: <c>piece</c> (one for each piece and use), <c>tally</c> (one for
/// each use and verdict), <c>part</c> (a planned cut), <c>missing</c> (a part that the delivery cannot give), <c>photo</c> (not in any piece's findings).
/// </summary>
public static class ReportCsv
{
    private static readonly string[] Columns =
    [
        "row", "supplier", "orderNumber", "complete", "piece", "use", "ruleBook", "ruleBookVersion", "verdict", "byRule", "decidedBy", "decidedUtc", "override", "decisionReason", "pieces", "boardFeet",
        "nominalQuarters", "widthIn", "lengthFt", "species", "speciesMark", "moisturePercent", "weightLb", "specificGravity",
        "worstInchRingsPerInch", "worstInchLow", "worstInchHigh", "ringAngleDegrees", "ringAngleLow", "ringAngleHigh",
        "slopeTangent", "slopeLow", "slopeHigh", "blemishes", "clearLengthMm", "clearLengths", "reasons", "questionsLeft", "questions", "notShown",
        "part", "fromMm", "toMm", "count", "fileName", "sha256", "note",
    ];

    /// <summary>UTF-8 with byte-order mark, RFC 4180, the same bytes for the same report.</summary>
    public static byte[] Write(DeliveryReport report)
    {
        ArgumentNullException.ThrowIfNull(report);
        var table = new CsvTable(Columns);
        foreach (var piece in report.Pieces)
        {
            foreach (var (verdict, standing) in piece.Verdicts.Zip(piece.Standing))
                table.Row(With(report, PieceRow(piece, verdict, standing, report.Delivery)));
        }

        foreach (var use in report.Tally)
        {
            foreach (var (verdict, cell) in new[] { (VerdictOutcome.Accept, use.Accept), (VerdictOutcome.Hold, use.Hold), (VerdictOutcome.Reject, use.Reject) })
                table.Row(With(report, new() { ["row"] = "tally", ["use"] = use.Use, ["ruleBook"] = use.RuleBook, ["verdict"] = TradeWords.Outcome(verdict), ["pieces"] = cell.Pieces, ["boardFeet"] = cell.BoardFeet }));
        }

        CutPlan(table, report);
        foreach (var (photos, what) in new[] { (report.Unsorted, "not sorted: "), (report.SetAside, "set aside: ") })
        {
            foreach (var photo in photos)
                table.Row(With(report, new() { ["row"] = "photo", ["fileName"] = photo.FileName, ["sha256"] = photo.Sha256, ["note"] = $"{what}{photo.Why} {photo.Advice}" }));
        }

        return table.ToUtf8();
    }

    private static void CutPlan(CsvTable table, DeliveryReport report)
    {
        foreach (var cut in report.CutPlan?.Cuts ?? [])
            table.Row(With(report, new() { ["row"] = "part", ["piece"] = cut.PieceNumber, ["part"] = cut.Part, ["fromMm"] = cut.FromMm, ["toMm"] = cut.ToMm, ["count"] = cut.CountSideBySide }));
        foreach (var (part, count) in (report.CutPlan?.Missing ?? new Dictionary<string, int>()).OrderBy(m => m.Key, StringComparer.Ordinal))
            table.Row(With(report, new() { ["row"] = "missing", ["part"] = part, ["count"] = count }));
    }

    private static Dictionary<string, object?> With(DeliveryReport report, Dictionary<string, object?> cells)
    {
        cells["supplier"] = report.Delivery.Supplier;
        cells["orderNumber"] = report.Delivery.OrderNumber;
        cells["complete"] = report.IsComplete ? "yes" : "no";
        return cells;
    }

    private static Dictionary<string, object?> PieceRow(PieceReport report, Verdict verdict, UseStanding standing, Delivery delivery)
    {
        var (piece, findings) = (report.Piece, report.Findings);
        var clear = report.ClearLengths.Where(c => c.RuleBook == verdict.RuleBook).ToList();
        Dictionary<string, object?> cells = new()
        {
            ["row"] = "piece",
            ["piece"] = piece.Number,
            ["use"] = verdict.Use,
            ["ruleBook"] = verdict.RuleBook,
            ["ruleBookVersion"] = verdict.RuleBookVersion,
            ["verdict"] = TradeWords.Outcome(standing.Outcome),
            ["byRule"] = TradeWords.Outcome(verdict.Outcome),
            ["decidedBy"] = standing.Decision?.Person,
            ["decidedUtc"] = standing.Decision?.AtUtc.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture),
            ["override"] = standing.IsOverridden ? "yes" : "no",
            ["decisionReason"] = standing.Decision?.Reason,
            ["pieces"] = 1,
            ["boardFeet"] = report.BoardFeet,
            ["nominalQuarters"] = piece.NominalQuarters,
            ["widthIn"] = piece.WidthIn,
            ["lengthFt"] = piece.LengthFt,
            ["species"] = piece.Species ?? delivery.Species,
            ["speciesMark"] = piece.SpeciesMark,
            ["moisturePercent"] = report.MoisturePercent?.Value,
            ["weightLb"] = report.WeightLb?.Value,
            ["specificGravity"] = report.SpecificGravity,
            ["blemishes"] = findings.Blemishes.Count,
            ["clearLengthMm"] = clear.Sum(c => c.LengthMm),
            ["clearLengths"] = string.Join("; ", clear.Select(c => string.Create(CultureInfo.InvariantCulture, $"{c.FromMm:0} to {c.ToMm:0} mm"))),
            ["reasons"] = verdict.Outcome == VerdictOutcome.Accept ? "" : string.Join(" | ", ReportDigest.Brief(verdict)),
            ["questionsLeft"] = report.Questions.Count(q => q.Uses.Contains(verdict.RuleBook)),
            ["questions"] = string.Join(" | ", report.Questions.Where(q => q.Uses.Contains(verdict.RuleBook)).Select(q => q.Text)),
            ["notShown"] = string.Join(", ", findings.NotShown.Select(SurfaceWords.From)),
        };
        Interval(cells, findings.WorstInch, "worstInchRingsPerInch", "worstInchLow", "worstInchHigh");
        Interval(cells, findings.RingAngleDegrees, "ringAngleDegrees", "ringAngleLow", "ringAngleHigh");
        Interval(cells, findings.CombinedSlope, "slopeTangent", "slopeLow", "slopeHigh");
        return cells;
    }

    private static void Interval(Dictionary<string, object?> cells, Measured? measured, string value, string low, string high)
    {
        cells[value] = measured?.Value;
        cells[low] = measured?.Low;
        cells[high] = measured?.High;
    }
}
