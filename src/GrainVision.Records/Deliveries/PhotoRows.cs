using System.Data.Common;
using System.Text.Json;
using Dapper;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Deliveries;

/// <summary>Rows of the table of photos, read and marked.</summary>
internal static class PhotoRows
{
    /// <summary>Columns of <see cref="Row"/>, in its order, of photos as <c>p</c>.</summary>
    public const string Columns =
        "p.delivery_id AS DeliveryId, p.sha256 AS Sha256, p.file_name AS FileName, p.arrived_utc AS ArrivedUtc, p.sent_by AS SentBy, p.state AS State, "
        + "p.manifest_json AS ManifestJson, p.place_json AS PlaceJson, p.sorted_by AS SortedBy, p.tries AS Tries, p.deaths AS Deaths, p.reason_json AS ReasonJson, "
        + "p.measurement_id AS MeasurementId, p.finished_no AS FinishedNo, p.cards_json AS CardsJson";

    /// <summary>The photo of that content in a delivery, or null.</summary>
    /// <param name="connection">Of the records.</param>
    /// <param name="deliveryId">The delivery.</param>
    /// <param name="sha256">Of the photo's bytes.</param>
    /// <param name="transaction">The connection's, where one is open.</param>
    public static DeliveryPhoto? Find(DbConnection connection, string deliveryId, string sha256, DbTransaction? transaction = null) => connection.QueryFirstOrDefault<Row>(
        $"SELECT {Columns} FROM delivery_photos p WHERE p.delivery_id = @deliveryId AND p.sha256 = @sha256;", new { deliveryId, sha256 }, transaction)?.ToPhoto();

    /// <summary>The step that takes up a photo which was put back into this state.</summary>
    public static PhotoStepKind NextStep(string state) => state == "received" ? PhotoStepKind.Sort : PhotoStepKind.Measure;

    public static string? ToJson<T>(T? value)
        where T : class => value is null ? null : JsonSerializer.Serialize(value, ContractJson.Options);

    /// <summary>The next turn among the photos of the delivery that are done with.</summary>
    public static long NextTurn(DbTransaction transaction, string deliveryId) => transaction.Connection!.QuerySingle<long>(
        "UPDATE deliveries SET finished_count = finished_count + 1 WHERE id = @deliveryId RETURNING finished_count;", new { deliveryId }, transaction);

    private static T? Json<T>(string? json)
        where T : class => json is null ? null : JsonSerializer.Deserialize<T>(json, ContractJson.Options);

    /// <summary>A photo as the table holds it.</summary>
    public sealed record Row(
        string DeliveryId, string Sha256, string FileName, string ArrivedUtc, string SentBy, string State, string? ManifestJson, string? PlaceJson, string? SortedBy,
        long Tries, long Deaths, string? ReasonJson, string? MeasurementId, long? FinishedNo, string? CardsJson)
    {
        public DeliveryPhoto ToPhoto() => new()
        {
            DeliveryId = DeliveryId,
            Sha256 = Sha256,
            FileName = FileName,
            ArrivedUtc = RecordTime.Parse(ArrivedUtc),
            SentBy = SentBy,
            State = EnumWords.Read<PhotoState>(State),
            ManifestPlace = Json<PhotoPlace>(ManifestJson),
            Place = Json<PhotoPlace>(PlaceJson),
            SortedBy = SortedBy is null ? null : EnumWords.Read<SortedBy>(SortedBy),
            Tries = checked((int)Tries),
            Deaths = checked((int)Deaths),
            Problem = Json<PhotoProblem>(ReasonJson),
            MeasurementId = MeasurementId,
            FinishedNo = FinishedNo,
            CardsJson = CardsJson,
        };
    }
}
