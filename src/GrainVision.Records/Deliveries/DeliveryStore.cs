using System.Globalization;
using System.Text.Json;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Deliveries;

/// <summary>Deliveries and their pieces.</summary>
public sealed class DeliveryStore(RecordsDatabase database)
{
    private const string Columns = "id, created_utc, created_by, delivery_json, scale_json";

    /// <summary>Records a delivery with its pieces, its log entry and its key in one transaction; false where the key is taken, and then nothing is recorded.</summary>
    public bool TryAdd(StoredDelivery delivery, IEnumerable<Piece> pieces, IdempotencyKey? key)
    {
        ArgumentNullException.ThrowIfNull(delivery);
        ArgumentNullException.ThrowIfNull(pieces);
        using var connection = database.Connect();
        using var transaction = connection.BeginTransaction(deferred: false);
        transaction.Execute(
            $"INSERT INTO deliveries ({Columns}) VALUES ($id, $created, $by, $json, $scale);",
            ("$id", delivery.Id), ("$created", delivery.CreatedUtc.ToRecord()), ("$by", delivery.CreatedBy),
            ("$json", JsonSerializer.Serialize(delivery.Delivery, ContractJson.Options)), ("$scale", delivery.ScaleJson));
        var entered = pieces.ToList();
        foreach (var piece in entered)
        {
            transaction.Execute(
                "INSERT INTO pieces (id, delivery_id, number, piece_json) VALUES ($id, $delivery, $number, $json);",
                ("$id", piece.Id), ("$delivery", delivery.Id), ("$number", piece.Number), ("$json", JsonSerializer.Serialize(piece, ContractJson.Options)));
        }

        if (key is not null && !DeliveryKeys.TryTake(transaction, key, delivery.Id))
            return false; // the transaction rolls back
        LogWriter.Append(transaction, new LogEntryDraft
        {
            Kind = LogKind.Delivery,
            Who = delivery.CreatedBy,
            At = delivery.CreatedUtc,
            Subjects = new EntrySubjects { Delivery = delivery.Id },
            Body = new { delivery.Delivery, Pieces = entered, Scale = delivery.ScaleJson },
        });
        transaction.Commit();
        return true;
    }

    /// <summary>What was answered to a key; null where nothing was.</summary>
    /// <param name="key">Client and key decide; the content is only compared.</param>
    /// <param name="sameContent">False where the key was used for other content.</param>
    public string? FindByKey(IdempotencyKey key, out bool sameContent)
    {
        ArgumentNullException.ThrowIfNull(key);
        using var connection = database.Connect();
        return DeliveryKeys.Find(connection, key, out sameContent);
    }

    /// <summary>The delivery, or null where there is none of that id.</summary>
    public StoredDelivery? Find(string id)
    {
        using var connection = database.Connect();
        return connection.Query($"SELECT {Columns} FROM deliveries WHERE id = $id;", Read, ("$id", id)).FirstOrDefault();
    }

    /// <summary>Deliveries, newest first, by key: those older than <paramref name="before"/>.</summary>
    /// <param name="before">Id of the last one seen; null for the first page.</param>
    /// <param name="most">Longest page.</param>
    public IReadOnlyList<StoredDelivery> Page(string? before, int most)
    {
        using var connection = database.Connect();
        return connection.Query(
            $"SELECT {Columns} FROM deliveries WHERE $before IS NULL OR id < $before ORDER BY id DESC LIMIT $most;", Read, ("$before", before), ("$most", most));
    }

    /// <summary>Pieces of a delivery by number.</summary>
    public IReadOnlyList<Piece> Pieces(string deliveryId)
    {
        using var connection = database.Connect();
        return connection.Query("SELECT piece_json FROM pieces WHERE delivery_id = $id ORDER BY number;", r => ReadPiece(r.GetString(0)), ("$id", deliveryId));
    }

    /// <summary>A piece by its id, or null.</summary>
    public StoredPiece? FindPiece(string pieceId)
    {
        using var connection = database.Connect();
        return connection.Query(
            "SELECT delivery_id, piece_json FROM pieces WHERE id = $id;", r => new StoredPiece(r.GetString(0), ReadPiece(r.GetString(1))), ("$id", pieceId)).FirstOrDefault();
    }

    private static StoredDelivery Read(SqliteDataReader row) => new(
        row.GetString(0), Rows.Time(row.GetString(1)), row.GetString(2),
        JsonSerializer.Deserialize<Delivery>(row.GetString(3), ContractJson.Options)!, row.IsDBNull(4) ? null : row.GetString(4));

    internal static Piece ReadPiece(string json) => JsonSerializer.Deserialize<Piece>(json, ContractJson.Options)!;
}
