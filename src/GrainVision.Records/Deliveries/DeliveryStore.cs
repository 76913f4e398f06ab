using System.Text.Json;
using Dapper;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Deliveries;

/// <summary>Deliveries and their pieces.</summary>
public sealed class DeliveryStore(RecordsDatabase database)
{
    private const string Columns = "id AS Id, created_utc AS CreatedUtc, created_by AS CreatedBy, delivery_json AS DeliveryJson, scale_json AS ScaleJson";

    /// <summary>Records a delivery with its pieces, its log entry and its key in one transaction; false where the key is taken, and then nothing is recorded.</summary>
    public bool TryAdd(StoredDelivery delivery, IEnumerable<Piece> pieces, IdempotencyKey? key)
    {
        ArgumentNullException.ThrowIfNull(delivery);
        ArgumentNullException.ThrowIfNull(pieces);
        using var writing = database.Write();
        var transaction = writing.Transaction;
        var connection = transaction.Connection!;
        connection.Execute(
            "INSERT INTO deliveries (id, created_utc, created_by, delivery_json, scale_json) VALUES (@Id, @created, @CreatedBy, @json, @ScaleJson);",
            new
            {
                delivery.Id, created = delivery.CreatedUtc.ToRecord(), delivery.CreatedBy, json = JsonSerializer.Serialize(delivery.Delivery, ContractJson.Options), delivery.ScaleJson,
            },
            transaction);
        var entered = pieces.ToList();
        connection.Execute(
            "INSERT INTO pieces (id, delivery_id, number, piece_json) VALUES (@Id, @deliveryId, @Number, @json);",
            entered.Select(p => new { p.Id, deliveryId = delivery.Id, p.Number, json = JsonSerializer.Serialize(p, ContractJson.Options) }), transaction);
        if (key is not null && !DeliveryKeys.TryTake(transaction, key, delivery.Id))
            return false; // the transaction rolls back
        LogWriter.Append(transaction, new LogEntryDraft
        {
            Kind = LogKind.Delivery,
            Who = delivery.CreatedBy,
            At = delivery.CreatedUtc,
            Subjects = new EntrySubjects { Delivery = delivery.Id },
            Key = key?.ToEntry(),
            Body = new { delivery.Delivery, Pieces = entered, Scale = delivery.ScaleJson, CreatedUtc = delivery.CreatedUtc.ToRecord() },
        });
        writing.Commit();
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
        return connection.QueryFirstOrDefault<Row>($"SELECT {Columns} FROM deliveries WHERE id = @id;", new { id })?.ToStored();
    }

    /// <summary>Deliveries, newest first, by key: those older than <paramref name="before"/>.</summary>
    /// <param name="before">Id of the last one seen; null for the first page.</param>
    /// <param name="most">Longest page.</param>
    public IReadOnlyList<StoredDelivery> Page(string? before, int most)
    {
        using var connection = database.Connect();
        return
        [
            .. connection.Query<Row>($"SELECT {Columns} FROM deliveries WHERE @before IS NULL OR id < @before ORDER BY id DESC LIMIT @most;", new { before, most })
                .Select(r => r.ToStored()),
        ];
    }

    /// <summary>Pieces of a delivery by number.</summary>
    public IReadOnlyList<Piece> Pieces(string deliveryId)
    {
        using var connection = database.Connect();
        return [.. connection.Query<string>("SELECT piece_json FROM pieces WHERE delivery_id = @deliveryId ORDER BY number;", new { deliveryId }).Select(ReadPiece)];
    }

    /// <summary>A piece by its id, or null.</summary>
    public StoredPiece? FindPiece(string pieceId)
    {
        using var connection = database.Connect();
        var found = connection.QueryFirstOrDefault<PieceRow>("SELECT delivery_id AS DeliveryId, piece_json AS PieceJson FROM pieces WHERE id = @pieceId;", new { pieceId });
        return found is null ? null : new StoredPiece(found.DeliveryId, ReadPiece(found.PieceJson));
    }

    internal static Piece ReadPiece(string json) => JsonSerializer.Deserialize<Piece>(json, ContractJson.Options)!;

    private sealed record PieceRow(string DeliveryId, string PieceJson);

    private sealed record Row(string Id, string CreatedUtc, string CreatedBy, string DeliveryJson, string? ScaleJson)
    {
        public StoredDelivery ToStored() =>
            new(Id, RecordTime.Parse(CreatedUtc), CreatedBy, JsonSerializer.Deserialize<Delivery>(DeliveryJson, ContractJson.Options)!, ScaleJson);
    }
}
