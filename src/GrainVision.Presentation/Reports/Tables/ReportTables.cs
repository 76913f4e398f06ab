using System.Globalization;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Presentation.Text;

namespace GrainVision.Presentation.Reports.Tables;

/// <summary>
/// The delivery report as tidy CSV tables: each holds one kind of row, joined by the piece's number and the use. Programs and spreadsheets read them, so columns
/// keep their names and numbers all their digits.
/// </summary>
public static class ReportTables
{
    private static readonly Dictionary<string, (string[] Columns, Func<DeliveryReport, IEnumerable<object?[]>> Rows)> All = new(StringComparer.Ordinal)
    {
        ["pieces"] = (
            [
                "piece", "nominalQuarters", "widthIn", "lengthFt", "boardFeet", "species", "speciesMark", "moisturePercent", "weightLb", "specificGravity",
                "worstInchRingsPerInch", "worstInchLow", "worstInchHigh", "ringAngleDegrees", "ringAngleLow", "ringAngleHigh", "slopeTangent", "slopeLow", "slopeHigh", "blemishes", "questionsLeft",
            ],
            r => r.Pieces.Select(p => Piece(r.Delivery, p))),
        ["uses"] = (
            ["piece", "ruleBook", "ruleBookVersion", "use", "verdict", "byRule", "decidedBy", "decidedUtc", "override", "decisionReason", "clearLengths", "clearMm", "questionsLeft"],
            r => r.Pieces.SelectMany(Uses)),
        ["reasons"] = (
            ["piece", "ruleBook", "limit", "outcome", "surface", "stationMm", "photo", "quantity", "value", "low", "high", "limitValue", "unit", "text", "source", "handCheck"],
            r => r.Pieces.SelectMany(Reasons)),
        ["questions"] = (
            ["piece", "question", "asks", "step", "surface", "stationMm", "text", "ruleBook", "settles"],
            r => r.Pieces.SelectMany(Questions)),
        ["photos"] = (
            ["piece", "surface", "stationMm", "photo", "measurement", "state", "fileName", "why", "advice"],
            Photos),
        ["cuts"] = (
            ["piece", "part", "fromMm", "toMm", "sideBySide"],
            r => (r.CutPlan?.Cuts ?? []).Select(c => new object?[] { c.PieceNumber, c.Part, c.FromMm, c.ToMm, c.CountSideBySide })),
    };

    /// <summary>Names of the tables.</summary>
    public static IReadOnlyList<string> Names { get; } = [.. All.Keys];

    /// <summary>UTF-8 with byte-order mark, RFC 4180, the same bytes for the same report.</summary>
    /// <param name="name">One of <see cref="Names"/>.</param>
    /// <param name="report">What to write.</param>
    public static byte[] Write(string name, DeliveryReport report)
    {
        ArgumentNullException.ThrowIfNull(report);
        var (columns, rows) = All[name];
        var table = new CsvTable(columns);
        foreach (var row in rows(report))
            table.Row(row);
        return table.ToUtf8();
    }

    private static object?[] Piece(Delivery delivery, PieceReport report)
    {
        var (piece, findings) = (report.Piece, report.Findings);
        return
        [
            piece.Number, piece.NominalQuarters, piece.WidthIn, piece.LengthFt, report.BoardFeet, piece.Species ?? delivery.Species, piece.SpeciesMark,
            report.MoisturePercent?.Value, report.WeightLb?.Value, report.SpecificGravity,
            .. Interval(findings.WorstInch), .. Interval(findings.RingAngleDegrees), .. Interval(findings.CombinedSlope), findings.Blemishes.Count, report.Questions.Count,
        ];
    }

    private static IEnumerable<object?[]> Uses(PieceReport report) => report.Verdicts.Zip(report.Standing).Select(v =>
    {
        var (verdict, standing) = v;
        var clear = report.ClearLengths.Where(c => c.RuleBook == verdict.RuleBook).ToList();
        return new object?[]
        {
            report.Piece.Number, verdict.RuleBook, verdict.RuleBookVersion, verdict.Use, TradeWords.Outcome(standing.Outcome), TradeWords.Outcome(verdict.Outcome), standing.Decision?.Person,
            standing.Decision?.AtUtc.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture), YesNo(standing.IsOverridden), standing.Decision?.Reason,
            clear.Count, clear.Sum(c => c.LengthMm), report.Questions.Count(q => q.Uses.Contains(verdict.RuleBook)),
        };
    });

    private static IEnumerable<object?[]> Reasons(PieceReport report) => report.Verdicts.SelectMany(v => v.Reasons.Select(r => new object?[]
    {
        report.Piece.Number, v.RuleBook, r.LimitId, TradeWords.Outcome(r.Outcome), Surface(r.Surface), r.StationMm, r.Photo, r.Quantity, r.Measured?.Value, r.Measured?.Low, r.Measured?.High,
        r.Limit, r.Unit, r.Text, r.Source, r.HandCheck,
    }));

    private static IEnumerable<object?[]> Questions(PieceReport report) => report.Questions.SelectMany(q => q.Uses.Select(use => new object?[]
    {
        report.Piece.Number, q.Id, ContractWord(q.Code), ContractWord(q.Step), Surface(q.Surface), q.StationMm, q.Text, use, YesNo(q.Settles.Contains(use)),
    }));

    private static IEnumerable<object?[]> Photos(DeliveryReport report) =>
    [
        .. report.Pieces.SelectMany(p => p.Findings.Photos.Select(f => new object?[]
        {
            p.Piece.Number, Surface(f.Place.Surface), f.Place.StationMm, f.Measurement.Photo.Sha256, f.Measurement.Id, "measured", null, null, null,
        })),
        .. LeftOver(report.Unsorted, "not sorted"), .. LeftOver(report.SetAside, "set aside"),
    ];

    private static IEnumerable<object?[]> LeftOver(IReadOnlyList<PhotoLeftOver> photos, string state) =>
        photos.Select(p => new object?[] { null, null, null, p.Sha256, null, state, p.FileName, p.Why, p.Advice });

    private static string? Surface(Surface? surface) => surface is { } s ? SurfaceWords.From(s) : null;

    private static string YesNo(bool yes) => yes ? "yes" : "no";

    /// <summary>As JSON says it.</summary>
    private static string ContractWord<T>(T value)
        where T : struct, Enum => System.Text.Json.JsonSerializer.SerializeToElement(value, ContractJson.Options).GetString()!;

    private static object?[] Interval(Measured? m) => [m?.Value, m?.Low, m?.High];
}
