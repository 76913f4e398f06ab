using System.Data.Common;
using System.Globalization;
using System.Text.Json;
using Dapper;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Records.Log;
using GrainVision.Records.Schema;

namespace GrainVision.Records.HandFindings;

/// <summary>The rows by which hand findings are found. What they say stands in the log alone.</summary>
internal static class FindingRows
{
    private const string Select =
        "SELECT f.number AS Number, l.sha256 AS Sha256, f.piece AS Piece, l.content AS Content, c.number AS CorrectedBy FROM findings f "
        + "JOIN log l ON l.number = f.number LEFT JOIN findings c ON c.corrects = f.number ";

    public static IReadOnlyList<StoredFinding> OfPiece(DbConnection connection, string piece, DbTransaction? transaction = null) =>
        Read(connection, "WHERE f.piece = @piece ORDER BY f.number;", new { piece }, transaction);

    public static IReadOnlyList<StoredFinding> OfDelivery(DbConnection connection, string delivery) =>
        Read(connection, "WHERE f.piece IN (SELECT id FROM pieces WHERE delivery_id = @delivery) ORDER BY f.number;", new { delivery }, null);

    public static IReadOnlyList<StoredFinding> Between(DbConnection connection, long first, long last, DbTransaction? transaction) =>
        Read(connection, "WHERE f.number BETWEEN @first AND @last ORDER BY f.number;", new { first, last }, transaction);

    public static void Insert(DbTransaction transaction, long number, string piece, HandFinding finding) => transaction.Connection!.Execute(
        "INSERT INTO findings (number, piece, kind, corrects) VALUES (@number, @piece, @kind, @Corrects);",
        new { number, piece, kind = EnumWords.Write(finding.Kind), finding.Corrects }, transaction);

    private static IReadOnlyList<StoredFinding> Read(DbConnection connection, string where, object values, DbTransaction? transaction) =>
        [.. connection.Query<Row>(Select + where, values, transaction).Select(r => r.ToStored())];

    private sealed record Row(long Number, string Sha256, string Piece, string Content, long? CorrectedBy)
    {
        public StoredFinding ToStored()
        {
            using var content = JsonDocument.Parse(Content);
            var entry = content.RootElement;
            return new StoredFinding(
                Number,
                Sha256,
                Piece,
                DateTimeOffset.ParseExact(entry.GetProperty("at").GetString()!, LogWriter.TimeFormat, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal),
                entry.GetProperty("who").GetString()!,
                entry.GetProperty("body").Deserialize<HandFinding>(ContractJson.Options)!,
                CorrectedBy);
        }
    }
}
