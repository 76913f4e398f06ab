using System.Globalization;
using System.Text.Json;
using GrainVision.Records.Log;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Measurements;

/// <summary>Measurements as answered. Only ever added to.</summary>
public sealed class MeasurementStore(RecordsDatabase database)
{
    internal const string Columns = "m.id, m.created_utc, m.photo_sha256, m.picture_sha256, m.picture_type, m.request_json, m.measurement_json";

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
    public static bool TryAdd(SqliteTransaction transaction, StoredMeasurement measurement, IdempotencyKey? key, Recording recording)
    {
        ArgumentNullException.ThrowIfNull(transaction);
        ArgumentNullException.ThrowIfNull(measurement);
        ArgumentNullException.ThrowIfNull(recording);
        var connection = transaction.Connection!;
        using var add = connection.CreateCommand();
        add.Transaction = transaction;
        add.CommandText = """
            INSERT INTO measurements (id, created_utc, photo_sha256, picture_sha256, picture_type, request_json, measurement_json)
            VALUES ($id, $created, $photo, $picture, $type, $request, $measurement);
            """;
        add.Parameters.AddWithValue("$id", measurement.Id);
        add.Parameters.AddWithValue("$created", measurement.CreatedUtc.ToString("O", CultureInfo.InvariantCulture));
        add.Parameters.AddWithValue("$photo", measurement.PhotoSha256);
        add.Parameters.AddWithValue("$picture", measurement.PictureSha256);
        add.Parameters.AddWithValue("$type", measurement.PictureType);
        add.Parameters.AddWithValue("$request", measurement.RequestJson);
        add.Parameters.AddWithValue("$measurement", measurement.MeasurementJson);
        add.ExecuteNonQuery();
        if (key is not null && !TryTake(transaction, key, measurement.Id))
            return false;
        MeasurementEntry.Append(transaction, measurement, recording);
        return true;
    }

    /// <summary>The measurement, or null where there is none of that id.</summary>
    public StoredMeasurement? Find(string id)
    {
        using var connection = database.Connect();
        using var find = connection.CreateCommand();
        find.CommandText = $"SELECT {Columns} FROM measurements m WHERE m.id = $id;";
        find.Parameters.AddWithValue("$id", id);
        using var row = find.ExecuteReader();
        return row.Read() ? Read(row) : null;
    }

    /// <summary>What was answered of each of these, by id, read at once; ids that are not known are left out.</summary>
    public IReadOnlyDictionary<string, string> Answers(IReadOnlyCollection<string> ids)
    {
        using var connection = database.Connect();
        return connection.Query(
            "SELECT m.id, m.measurement_json FROM json_each($ids) wanted JOIN measurements m ON m.id = wanted.value;",
            r => KeyValuePair.Create(r.GetString(0), r.GetString(1)), ("$ids", JsonSerializer.Serialize(ids.Distinct()))).ToDictionary();
    }

    /// <summary>The measurement that was answered to this key.</summary>
    /// <param name="key">Client and key decide; the content is only compared.</param>
    /// <param name="sameContent">False where the key was used for other content.</param>
    public StoredMeasurement? FindByKey(IdempotencyKey key, out bool sameContent)
    {
        ArgumentNullException.ThrowIfNull(key);
        using var connection = database.Connect();
        using var find = connection.CreateCommand();
        find.CommandText = $"""
            SELECT {Columns}, k.content_sha256 FROM idempotency_keys k JOIN measurements m ON m.id = k.measurement_id
            WHERE k.client = $client AND k.key = $key;
            """;
        find.Parameters.AddWithValue("$client", key.Client);
        find.Parameters.AddWithValue("$key", key.Key);
        using var row = find.ExecuteReader();
        sameContent = true;
        if (!row.Read())
            return null;
        sameContent = row.GetString(7) == key.ContentSha256;
        return Read(row);
    }

    private static bool TryTake(SqliteTransaction transaction, IdempotencyKey key, string id)
    {
        using var take = transaction.Connection!.CreateCommand();
        take.Transaction = transaction;
        take.CommandText = "INSERT INTO idempotency_keys (client, key, content_sha256, measurement_id) VALUES ($client, $key, $content, $id);";
        take.Parameters.AddWithValue("$client", key.Client);
        take.Parameters.AddWithValue("$key", key.Key);
        take.Parameters.AddWithValue("$content", key.ContentSha256);
        take.Parameters.AddWithValue("$id", id);
        try
        {
            take.ExecuteNonQuery();
            return true;
        }
        catch (SqliteException e) when (e.SqliteErrorCode == RecordsDatabase.ConstraintViolated)
        {
            return false;
        }
    }

    internal static StoredMeasurement Read(SqliteDataReader row) => new(
        row.GetString(0),
        DateTimeOffset.ParseExact(row.GetString(1), "O", CultureInfo.InvariantCulture),
        row.GetString(2),
        row.GetString(3),
        row.GetString(4),
        row.GetString(5),
        row.GetString(6));
}
