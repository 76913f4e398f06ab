using System.Data.Common;
using System.Text.Json;
using Dapper;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Measurements;

/// <summary>Measurements as answered. Only ever added to.</summary>
public sealed class MeasurementStore(RecordsDatabase database)
{
    private const string Columns =
        "m.id AS Id, m.created_utc AS CreatedUtc, m.photo_sha256 AS PhotoSha256, m.picture_sha256 AS PictureSha256, m.picture_type AS PictureType, "
        + "m.request_json AS RequestJson, m.measurement_json AS MeasurementJson";

    /// <summary>
    /// Records a measurement, its log entry and its key in one transaction. Where a request with the same key came first, nothing is
    /// recorded: look it up with <see cref="FindByKey"/>.
    /// </summary>
    /// <returns>False where the key is taken.</returns>
    public bool TryAdd(StoredMeasurement measurement, IdempotencyKey? key, Recording recording)
    {
        using var writing = database.Write();
        if (!TryAdd(writing.Transaction, measurement, key, recording))
            return false; // the transaction rolls back
        writing.Commit();
        return true;
    }

    /// <summary>The same inside a transaction of the caller's, which must be rolled back where the answer is false.</summary>
    /// <param name="transaction">An immediate one.</param>
    /// <param name="measurement">What was measured.</param>
    /// <param name="key">The caller's key, or null.</param>
    /// <param name="recording">Who had it measured, with what.</param>
    public static bool TryAdd(DbTransaction transaction, StoredMeasurement measurement, IdempotencyKey? key, Recording recording)
    {
        ArgumentNullException.ThrowIfNull(transaction);
        ArgumentNullException.ThrowIfNull(measurement);
        ArgumentNullException.ThrowIfNull(recording);
        transaction.Connection!.Execute(
            """
            INSERT INTO measurements (id, created_utc, photo_sha256, picture_sha256, picture_type, request_json, measurement_json)
            VALUES (@Id, @created, @PhotoSha256, @PictureSha256, @PictureType, @RequestJson, @MeasurementJson);
            """,
            new
            {
                measurement.Id, created = measurement.CreatedUtc.ToRecord(), measurement.PhotoSha256, measurement.PictureSha256, measurement.PictureType,
                measurement.RequestJson, measurement.MeasurementJson,
            },
            transaction);
        if (key is not null && !TryTake(transaction, key, measurement.Id))
            return false;
        MeasurementEntry.Append(transaction, measurement, key, recording);
        return true;
    }

    /// <summary>The measurement, or null where there is none of that id.</summary>
    public StoredMeasurement? Find(string id)
    {
        using var connection = database.Connect();
        return connection.QueryFirstOrDefault<Row>($"SELECT {Columns} FROM measurements m WHERE m.id = @id;", new { id })?.ToStored();
    }

    /// <summary>The first measurement whose id comes after this one: ids are in order of time. Null after the last.</summary>
    internal static StoredMeasurement? Next(DbTransaction transaction, string id) => transaction.Connection!.QueryFirstOrDefault<Row>(
        $"SELECT {Columns} FROM measurements m WHERE m.id > @id ORDER BY m.id LIMIT 1;", new { id }, transaction)?.ToStored();

    /// <summary>What was answered of each of these, by id, read at once; ids that are not known are left out.</summary>
    public IReadOnlyDictionary<string, string> Answers(IReadOnlyCollection<string> ids)
    {
        using var connection = database.Connect();
        return connection.Query<Answer>(
            "SELECT m.id AS Id, m.measurement_json AS Json FROM json_each(@ids) wanted JOIN measurements m ON m.id = wanted.value;", new { ids = JsonSerializer.Serialize(ids.Distinct()) })
            .ToDictionary(a => a.Id, a => a.Json);
    }

    /// <summary>The measurement that was answered to this key.</summary>
    /// <param name="key">Client and key decide; the content is only compared.</param>
    /// <param name="sameContent">False where the key was used for other content.</param>
    public StoredMeasurement? FindByKey(IdempotencyKey key, out bool sameContent)
    {
        ArgumentNullException.ThrowIfNull(key);
        using var connection = database.Connect();
        var taken = connection.QueryFirstOrDefault<TakenKey>(
            "SELECT measurement_id AS MeasurementId, content_sha256 AS ContentSha256 FROM idempotency_keys WHERE client = @Client AND key = @Key;", new { key.Client, key.Key });
        sameContent = taken is null || taken.ContentSha256 == key.ContentSha256;
        return taken is null ? null : Find(taken.MeasurementId);
    }

    private static bool TryTake(DbTransaction transaction, IdempotencyKey key, string id) => transaction.Connection!.Execute(
        "INSERT INTO idempotency_keys (client, key, content_sha256, measurement_id) VALUES (@Client, @Key, @ContentSha256, @id) ON CONFLICT (client, key) DO NOTHING;",
        new { key.Client, key.Key, key.ContentSha256, id }, transaction) == 1;

    private sealed record Answer(string Id, string Json);

    private sealed record TakenKey(string MeasurementId, string ContentSha256);

    private sealed record Row(
        string Id, string CreatedUtc, string PhotoSha256, string PictureSha256, string PictureType, string RequestJson, string MeasurementJson)
    {
        public StoredMeasurement ToStored() => new(Id, RecordTime.Parse(CreatedUtc), PhotoSha256, PictureSha256, PictureType, RequestJson, MeasurementJson);
    }
}
