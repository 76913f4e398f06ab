using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Deliveries;

/// <summary>Rows of the table of photos, read and marked.</summary>
internal static class PhotoRows
{
    public const string Columns =
        "p.delivery_id, p.sha256, p.file_name, p.arrived_utc, p.sent_by, p.state, p.manifest_json, p.place_json, p.sorted_by, p.tries, p.deaths, p.reason_json, p.measurement_id, p.finished_no, p.cards_json";

    public static DeliveryPhoto Read(SqliteDataReader row) => new()
    {
        DeliveryId = row.GetString(0),
        Sha256 = row.GetString(1),
        FileName = row.GetString(2),
        ArrivedUtc = Rows.Time(row.GetString(3)),
        SentBy = row.GetString(4),
        State = Word<PhotoState>(row.GetString(5)),
        ManifestPlace = Json<PhotoPlace>(row.TextOrNull(6)),
        Place = Json<PhotoPlace>(row.TextOrNull(7)),
        SortedBy = row.TextOrNull(8) is { } by ? Word<SortedBy>(by) : null,
        Tries = row.GetInt32(9),
        Deaths = row.GetInt32(10),
        Problem = Json<PhotoProblem>(row.TextOrNull(11)),
        MeasurementId = row.TextOrNull(12),
        FinishedNo = row.IsDBNull(13) ? null : row.GetInt64(13),
        CardsJson = row.TextOrNull(14),
    };

    public static DeliveryPhoto? Find(SqliteTransaction transaction, string deliveryId, string sha256) => transaction.Query(
        $"SELECT {Columns} FROM delivery_photos p WHERE p.delivery_id = $id AND p.sha256 = $sha;", Read, ("$id", deliveryId), ("$sha", sha256)).FirstOrDefault();

    /// <summary>An enum by its word in the contract.</summary>
    public static T Word<T>(string word) => JsonSerializer.Deserialize<T>($"\"{word}\"", ContractJson.Options)!;

    public static string Word<T>(T value) => JsonSerializer.Serialize(value, ContractJson.Options).Trim('"');

    public static string? ToJson<T>(T? value)
        where T : class => value is null ? null : JsonSerializer.Serialize(value, ContractJson.Options);

    /// <summary>The next turn among the photos of the delivery that are done with.</summary>
    public static long NextTurn(SqliteTransaction transaction, string deliveryId) => transaction.Query(
        "UPDATE deliveries SET finished_count = finished_count + 1 WHERE id = $id RETURNING finished_count;", r => r.GetInt64(0), ("$id", deliveryId))[0];

    private static T? Json<T>(string? json)
        where T : class => json is null ? null : JsonSerializer.Deserialize<T>(json, ContractJson.Options);
}
