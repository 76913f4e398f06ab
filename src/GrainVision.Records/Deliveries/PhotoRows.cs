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
        "p.delivery_id AS DeliveryId, p.sha256 AS Sha256, p.file_name AS FileName, p.arrived_utc AS ArrivedUtc, p.sent_by AS SentBy, "
        + "p.manifest_json AS ManifestJson, p.place_json AS PlaceJson, p.sorted_by AS SortedBy, p.in_hand AS InHand, p.deaths AS Deaths, p.reason_json AS ReasonJson, "
        + "p.needs_place AS NeedsPlace, p.measurement_id AS MeasurementId, p.finished_no AS FinishedNo, p.cards_json AS CardsJson";

    /// <summary>The photo of that content in a delivery, or null.</summary>
    /// <param name="connection">Of the records.</param>
    /// <param name="deliveryId">The delivery.</param>
    /// <param name="sha256">Of the photo's bytes.</param>
    /// <param name="transaction">The connection's, where one is open.</param>
    public static DeliveryPhoto? Find(DbConnection connection, string deliveryId, string sha256, DbTransaction? transaction = null) => connection.QueryFirstOrDefault<Row>(
        $"SELECT {Columns} FROM delivery_photos p WHERE p.delivery_id = @deliveryId AND p.sha256 = @sha256;", new { deliveryId, sha256 }, transaction)?.ToPhoto();

    /// <summary>Nothing has come of the photo yet: it is to be worked on.</summary>
    public const string IsOpen = "measurement_id IS NULL AND reason_json IS NULL";

    /// <summary>The step that takes up an open photo.</summary>
    public static PhotoStepKind NextStep(bool isPlaced) => isPlaced ? PhotoStepKind.Measure : PhotoStepKind.Sort;

    public static string? ToJson<T>(T? value)
        where T : class => value is null ? null : JsonSerializer.Serialize(value, ContractJson.Options);

    /// <summary>The next turn among the photos of the delivery that are done with.</summary>
    public static long NextTurn(DbTransaction transaction, string deliveryId) => transaction.Connection!.QuerySingle<long>(
        "UPDATE deliveries SET finished_count = finished_count + 1 WHERE id = @deliveryId RETURNING finished_count;", new { deliveryId }, transaction);

    private static T? Json<T>(string? json)
        where T : class => json is null ? null : JsonSerializer.Deserialize<T>(json, ContractJson.Options);

    /// <summary>A photo as the table holds it.</summary>
    public sealed record Row(
        string DeliveryId, string Sha256, string FileName, string ArrivedUtc, string SentBy, string? ManifestJson, string? PlaceJson, string? SortedBy,
        long InHand, long Deaths, string? ReasonJson, long NeedsPlace, string? MeasurementId, long? FinishedNo, string? CardsJson)
    {
        public DeliveryPhoto ToPhoto() => new()
        {
            DeliveryId = DeliveryId,
            Sha256 = Sha256,
            FileName = FileName,
            ArrivedUtc = RecordTime.Parse(ArrivedUtc),
            SentBy = SentBy,
            ManifestPlace = Json<PhotoPlace>(ManifestJson),
            Place = Json<PhotoPlace>(PlaceJson),
            SortedBy = SortedBy is null ? null : EnumWords.Read<SortedBy>(SortedBy),
            InHand = InHand != 0,
            Deaths = checked((int)Deaths),
            Problem = Json<PhotoProblem>(ReasonJson),
            NeedsPlace = NeedsPlace != 0,
            MeasurementId = MeasurementId,
            FinishedNo = FinishedNo,
            CardsJson = CardsJson,
        };
    }
}
