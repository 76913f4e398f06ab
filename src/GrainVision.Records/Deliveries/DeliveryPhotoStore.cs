using System.Data.Common;
using Dapper;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Measurements;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Deliveries;

/// <summary>Photos of deliveries as they come in, are listed, and are put right by a person.</summary>
public sealed class DeliveryPhotoStore(RecordsDatabase database)
{
    /// <summary>
    /// Records an upload: its job, its photos and the work they mean, in one transaction. A photo that the delivery has already is not
    /// recorded twice, but a manifest that came with it is heeded where it is still unsorted.
    /// </summary>
    /// <returns>False where the key is taken, and then nothing is recorded.</returns>
    public async Task<bool> TryAdd(StoredJob job, IEnumerable<ArrivedPhoto> photos, IdempotencyKey? key, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(photos);
        ArgumentNullException.ThrowIfNull(enqueue);
        using var writing = await database.WriteAsync();
        var transaction = writing.Transaction;
        transaction.Connection!.Execute(
            "INSERT INTO jobs (id, delivery_id, created_utc, created_by) VALUES (@Id, @DeliveryId, @created, @CreatedBy);",
            new { job.Id, job.DeliveryId, created = job.CreatedUtc.ToRecord(), job.CreatedBy }, transaction);
        if (key is not null && !DeliveryKeys.TryTake(transaction, key, job.Id))
            return false; // the transaction rolls back
        List<ArrivedPhoto> arrived = [.. photos];
        List<PhotoStep> steps = [.. arrived.Where(p => Add(transaction, job, p)).Select(p => new PhotoStep(PhotoStepKind.Sort, job.DeliveryId, p.Sha256))];
        PhotoEntry.AppendUpload(transaction, job, arrived.Select(p => p.Sha256).Distinct(), key);
        await writing.CommitThen(await enqueue(transaction, steps));
        return true;
    }

    /// <summary>Photos of a delivery in the order they came.</summary>
    public IReadOnlyList<DeliveryPhoto> OfDelivery(string deliveryId)
    {
        using var connection = database.Connect();
        return Photos(connection, "delivery_photos p WHERE p.delivery_id = @deliveryId", new { deliveryId });
    }

    /// <summary>Photos of one piece in the order they came.</summary>
    public IReadOnlyList<DeliveryPhoto> OfPiece(string deliveryId, int pieceNumber)
    {
        using var connection = database.Connect();
        return Photos(connection, "delivery_photos p WHERE p.delivery_id = @deliveryId AND p.piece_number = @pieceNumber", new { deliveryId, pieceNumber });
    }

    public DeliveryPhoto? Find(string deliveryId, string sha256)
    {
        using var connection = database.Connect();
        return PhotoRows.Find(connection, deliveryId, sha256);
    }

    public StoredJob? FindJob(string id)
    {
        using var connection = database.Connect();
        return connection.QueryFirstOrDefault<JobRow>(
            "SELECT id AS Id, delivery_id AS DeliveryId, created_utc AS CreatedUtc, created_by AS CreatedBy FROM jobs WHERE id = @id;", new { id })?.ToStored();
    }

    /// <summary>Photos of a job in the order they came.</summary>
    public IReadOnlyList<DeliveryPhoto> OfJob(string jobId)
    {
        using var connection = database.Connect();
        return Photos(connection, "job_photos j JOIN delivery_photos p USING (delivery_id, sha256) WHERE j.job_id = @jobId", new { jobId });
    }

    /// <summary>A person says where a photo belongs; it is measured anew.</summary>
    /// <returns>False where it is being worked on just now.</returns>
    public async Task<bool> Assign(string deliveryId, string sha256, PhotoPlace place, string who, DateTimeOffset now, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(place);
        ArgumentNullException.ThrowIfNull(enqueue);
        using var writing = await database.WriteAsync();
        var transaction = writing.Transaction;
        var before = transaction.Connection!.QueryFirstOrDefault<Placed>(
            "SELECT piece_number AS PieceNumber, file_name AS FileName FROM delivery_photos WHERE delivery_id = @deliveryId AND sha256 = @sha256;",
            new { deliveryId, sha256 }, transaction);
        if (before is null)
            return false;
        var done = transaction.Connection!.Execute(
            """
            UPDATE delivery_photos SET place_json = @json, piece_number = @PieceNumber, surface = @surface, sorted_by = 'person',
                deaths = 0, reason_json = NULL, needs_place = 0, measurement_id = NULL, angle_low = NULL, angle_high = NULL, used_angle = NULL, finished_no = NULL
            WHERE delivery_id = @deliveryId AND sha256 = @sha256 AND in_hand = 0;
            """,
            new { json = PhotoRows.ToJson(place), place.PieceNumber, surface = EnumWords.Write(place.Surface), deliveryId, sha256 }, transaction);
        if (done == 0)
            return false;
        PlacementEntry.Append(transaction, deliveryId, sha256, before.FileName, place, SortedBy.Person, who, now);
        // The piece it leaves has lost an end's ring angle, perhaps.
        if (before.PieceNumber is { } left)
            RingAngles.RedoFaces(transaction, deliveryId, checked((int)left), who, now);
        List<PhotoStep> steps = [.. PhotoQueue.ReadyFaces(transaction, deliveryId)];
        if (PhotoQueue.IsEnd(place.Surface))
            steps.Add(new PhotoStep(PhotoStepKind.Measure, deliveryId, sha256));
        await writing.CommitThen(await enqueue(transaction, steps));
        return true;
    }

    /// <summary>Has a photo that was set aside tried again.</summary>
    /// <returns>False where it is not set aside.</returns>
    public async Task<bool> Retry(string deliveryId, string sha256, string who, DateTimeOffset now, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(enqueue);
        using var writing = await database.WriteAsync();
        var transaction = writing.Transaction;
        var isPlaced = transaction.Connection!.ExecuteScalar<long?>(
            """
            UPDATE delivery_photos SET deaths = 0, reason_json = NULL, finished_no = NULL
            WHERE delivery_id = @deliveryId AND sha256 = @sha256 AND reason_json IS NOT NULL AND needs_place = 0 RETURNING place_json IS NOT NULL;
            """,
            new { deliveryId, sha256 }, transaction);
        if (isPlaced is not { } placed)
            return false;
        PhotoEntry.Append(transaction, deliveryId, sha256, who, now);
        List<PhotoStep> steps = [new(PhotoRows.NextStep(placed != 0), deliveryId, sha256), .. PhotoQueue.ReadyFaces(transaction, deliveryId)];
        await writing.CommitThen(await enqueue(transaction, [.. steps.Distinct()]));
        return true;
    }

    /// <summary>Adds a photo to its job; true where it is to be sorted.</summary>
    private static bool Add(DbTransaction transaction, StoredJob job, ArrivedPhoto photo)
    {
        var manifest = PhotoRows.ToJson(photo.ManifestPlace);
        var added = transaction.Connection!.Execute(
            """
            INSERT INTO delivery_photos (delivery_id, sha256, file_name, arrived_utc, sent_by, manifest_json)
            VALUES (@DeliveryId, @Sha256, @FileName, @created, @CreatedBy, @manifest)
            ON CONFLICT DO UPDATE SET manifest_json = @manifest, reason_json = NULL, needs_place = 0, finished_no = NULL
                WHERE delivery_photos.needs_place = 1 AND @manifest IS NOT NULL;
            """,
            new { job.DeliveryId, photo.Sha256, photo.FileName, created = job.CreatedUtc.ToRecord(), job.CreatedBy, manifest }, transaction);
        transaction.Connection!.Execute(
            "INSERT OR IGNORE INTO job_photos (job_id, delivery_id, sha256) VALUES (@Id, @DeliveryId, @Sha256);", new { job.Id, job.DeliveryId, photo.Sha256 }, transaction);
        return added == 1;
    }

    /// <summary>Photos, as <c>p</c> of these tables, in the order they came.</summary>
    private static IReadOnlyList<DeliveryPhoto> Photos(DbConnection connection, string from, object values) =>
        [.. connection.Query<PhotoRows.Row>($"SELECT {PhotoRows.Columns} FROM {from} ORDER BY p.rowid;", values).Select(r => r.ToPhoto())];

    private sealed record Placed(long? PieceNumber, string FileName);

    private sealed record JobRow(string Id, string DeliveryId, string CreatedUtc, string CreatedBy)
    {
        public StoredJob ToStored() => new(Id, DeliveryId, RecordTime.Parse(CreatedUtc), CreatedBy);
    }
}
