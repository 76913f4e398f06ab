using GrainVision.Records.Log;

namespace GrainVision.Records.Verification;

/// <summary>An entry with all that the tables hold of it.</summary>
internal sealed class RecordedEntry
{
    public const string Select = $"""
        SELECT {LogReader.Columns}, l.at_utc AS AtUtc, l.kind AS Kind, l.who AS Who, l.delivery AS Delivery, l.piece AS Piece, l.measurement AS Measurement,
            l.decision AS Decision, l.rule_book AS RuleBook, m.measurement_json AS MeasurementJson, m.request_json AS RequestJson, m.photo_sha256 AS PhotoSha256,
            m.picture_sha256 AS PictureSha256, m.picture_type AS PictureType, m.created_utc AS CreatedUtc, d.id AS DecisionId, d.piece AS DecisionPiece, d.rule_book AS DecisionRuleBook, d.verdict AS DecisionVerdict,
            d.person AS DecisionPerson, d.supersedes AS DecisionSupersedes, d.delivery AS DecisionDelivery, d.species AS DecisionSpecies,
            f.piece AS FindingPiece, f.kind AS FindingKind, f.corrects AS FindingCorrects
        FROM log l
        LEFT JOIN measurements m ON l.kind = 'measurement' AND m.id = l.measurement
        LEFT JOIN decisions d ON l.kind IN ('decision', 'override') AND d.number = l.number
        LEFT JOIN findings f ON l.kind = 'handMeasurement' AND f.number = l.number
        ORDER BY l.number;
        """;

    public long Number { get; init; }

    public string PreviousSha256 { get; init; } = "";

    public string ContentSha256 { get; init; } = "";

    public string Sha256 { get; init; } = "";

    public string Content { get; init; } = "";

    public string? AtUtc { get; init; }

    public string? Kind { get; init; }

    public string? Who { get; init; }

    public string? Delivery { get; init; }

    public string? Piece { get; init; }

    public string? Measurement { get; init; }

    public string? Decision { get; init; }

    public string? RuleBook { get; init; }

    public string? MeasurementJson { get; init; }

    public string? RequestJson { get; init; }

    public string? PhotoSha256 { get; init; }

    public string? PictureSha256 { get; init; }

    public string? PictureType { get; init; }

    public string? CreatedUtc { get; init; }

    public string? DecisionId { get; init; }

    public string? DecisionPiece { get; init; }

    public string? DecisionRuleBook { get; init; }

    public string? DecisionVerdict { get; init; }

    public string? DecisionPerson { get; init; }

    public string? DecisionSupersedes { get; init; }

    public string? DecisionDelivery { get; init; }

    public string? DecisionSpecies { get; init; }

    public string? FindingPiece { get; init; }

    public string? FindingKind { get; init; }

    public long? FindingCorrects { get; init; }

    public LogEntry ToEntry() => new(Number, PreviousSha256, ContentSha256, Sha256, Content);

    /// <summary>Columns of the log that are searched, where the content says the same, and their values.</summary>
    public (string Column, string[] Path, string? Value)[] SearchColumns() =>
    [
        ("at_utc", Paths.At, AtUtc), ("kind", Paths.Kind, Kind), ("who", Paths.Who, Who), ("delivery", Paths.Delivery, Delivery), ("piece", Paths.Piece, Piece),
        ("measurement", Paths.Measurement, Measurement), ("decision", Paths.Decision, Decision), ("rule_book", Paths.RuleBook, RuleBook),
    ];

    /// <summary>Members of a decision that are searched, and their values in the columns.</summary>
    public (string Member, string? Value)[] DecisionColumns() =>
    [
        ("id", DecisionId), ("piece", DecisionPiece), ("ruleBook", DecisionRuleBook), ("verdict", DecisionVerdict), ("person", DecisionPerson),
        ("supersedes", DecisionSupersedes), ("delivery", DecisionDelivery), ("species", DecisionSpecies),
    ];

    public LogProblem Problem(LogProblemCode code, string what, string? says, string? found, string? table = null, string? row = null, string? column = null) =>
        new(code, Number, Number, what, says ?? "nothing", found ?? "nothing") { Table = table, Row = row, Column = column };

    private static class Paths
    {
        public static readonly string[] At = ["at"];
        public static readonly string[] Kind = ["kind"];
        public static readonly string[] Who = ["who"];
        public static readonly string[] Delivery = ["subjects", "delivery"];
        public static readonly string[] Piece = ["subjects", "piece"];
        public static readonly string[] Measurement = ["subjects", "measurement"];
        public static readonly string[] Decision = ["subjects", "decision"];
        public static readonly string[] RuleBook = ["subjects", "ruleBook"];
    }
}
