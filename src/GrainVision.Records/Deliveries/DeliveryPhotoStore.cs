using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Measurements;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

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
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        transaction.Execute(
            "INSERT INTO jobs (id, delivery_id, created_utc, created_by) VALUES ($id, $delivery, $created, $by);",
            ("$id", job.Id), ("$delivery", job.DeliveryId), ("$created", job.CreatedUtc.ToRecord()), ("$by", job.CreatedBy));
        if (key is not null && !DeliveryKeys.TryTake(transaction, key, job.Id))
            return false; // the transaction rolls back
        List<PhotoStep> steps = [.. photos.Where(p => Add(transaction, job, p)).Select(p => new PhotoStep(PhotoStepKind.Sort, job.DeliveryId, p.Sha256))];
        await transaction.CommitWith(await enqueue(transaction, steps));
        return true;
    }

    /// <summary>Photos of a delivery in the order they came.</summary>
    public IReadOnlyList<DeliveryPhoto> Of(string deliveryId)
    {
        using var connection = database.Connect();
        return connection.Query($"SELECT {PhotoRows.Columns} FROM delivery_photos p WHERE p.delivery_id = $id ORDER BY p.rowid;", PhotoRows.Read, ("$id", deliveryId));
    }

    /// <summary>Photos of one piece in the order they came.</summary>
    public IReadOnlyList<DeliveryPhoto> OfPiece(string deliveryId, int pieceNumber)
    {
        using var connection = database.Connect();
        return connection.Query(
            $"SELECT {PhotoRows.Columns} FROM delivery_photos p WHERE p.delivery_id = $id AND p.piece_number = $piece ORDER BY p.rowid;",
            PhotoRows.Read, ("$id", deliveryId), ("$piece", pieceNumber));
    }

    public DeliveryPhoto? Find(string deliveryId, string sha256)
    {
        using var connection = database.Connect();
        return connection.Query(
            $"SELECT {PhotoRows.Columns} FROM delivery_photos p WHERE p.delivery_id = $id AND p.sha256 = $sha;", PhotoRows.Read, ("$id", deliveryId), ("$sha", sha256)).FirstOrDefault();
    }

    public StoredJob? FindJob(string id)
    {
        using var connection = database.Connect();
        return connection.Query(
            "SELECT id, delivery_id, created_utc, created_by FROM jobs WHERE id = $id;",
            r => new StoredJob(r.GetString(0), r.GetString(1), Rows.Time(r.GetString(2)), r.GetString(3)), ("$id", id)).FirstOrDefault();
    }

    /// <summary>Photos of a job in the order they came.</summary>
    public IReadOnlyList<DeliveryPhoto> OfJob(string jobId)
    {
        using var connection = database.Connect();
        return connection.Query(
            $"SELECT {PhotoRows.Columns} FROM job_photos j JOIN delivery_photos p USING (delivery_id, sha256) WHERE j.job_id = $id ORDER BY p.rowid;",
            PhotoRows.Read, ("$id", jobId));
    }

    /// <summary>A person says where a photo belongs; it is measured anew.</summary>
    /// <returns>False where it is being worked on just now.</returns>
    public async Task<bool> Assign(string deliveryId, string sha256, PhotoPlace place, string who, DateTimeOffset now, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(place);
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        var before = transaction.Query(
            "SELECT piece_number, file_name FROM delivery_photos WHERE delivery_id = $id AND sha256 = $sha;", r => (Piece: r.IsDBNull(0) ? (int?)null : r.GetInt32(0), Name: r.GetString(1)),
            ("$id", deliveryId), ("$sha", sha256)).FirstOrDefault();
        var done = transaction.Execute(
            """
            UPDATE delivery_photos SET state = 'waiting', place_json = $place, piece_number = $piece, surface = $surface, sorted_by = 'person', tries = 0,
                deaths = 0, reason_json = NULL, measurement_id = NULL, angle_low = NULL, angle_high = NULL, used_angle = NULL, finished_no = NULL
            WHERE delivery_id = $id AND sha256 = $sha AND state NOT IN ('sorting', 'measuring');
            """,
            ("$place", PhotoRows.ToJson(place)), ("$piece", place.PieceNumber), ("$surface", PhotoRows.Word(place.Surface)), ("$id", deliveryId), ("$sha", sha256));
        if (done == 0)
            return false;
        PlacementEntry.Append(transaction, deliveryId, sha256, before.Name, place, SortedBy.Person, who, now);
        // The piece it leaves has lost an end's ring angle, perhaps.
        if (before.Piece is { } left)
            RingAngles.RedoFaces(transaction, deliveryId, left);
        List<PhotoStep> steps = [.. PhotoQueue.ReadyFaces(transaction, deliveryId)];
        if (PhotoQueue.IsEnd(place.Surface))
            steps.Add(new PhotoStep(PhotoStepKind.Measure, deliveryId, sha256));
        await transaction.CommitWith(await enqueue(transaction, steps));
        return true;
    }

    /// <summary>Has a photo that was set aside tried again.</summary>
    /// <returns>False where it is not set aside.</returns>
    public async Task<bool> Retry(string deliveryId, string sha256, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        var done = transaction.Query(
            """
            UPDATE delivery_photos SET state = CASE WHEN place_json IS NULL THEN 'received' ELSE 'waiting' END, tries = 0, deaths = 0, reason_json = NULL, finished_no = NULL
            WHERE delivery_id = $id AND sha256 = $sha AND state = 'setAside' RETURNING state;
            """,
            r => r.GetString(0) == "received" ? PhotoStepKind.Sort : PhotoStepKind.Measure, ("$id", deliveryId), ("$sha", sha256));
        if (done.Count == 0)
            return false;
        List<PhotoStep> steps = [new(done[0], deliveryId, sha256), .. PhotoQueue.ReadyFaces(transaction, deliveryId)];
        await transaction.CommitWith(await enqueue(transaction, [.. steps.Distinct()]));
        return true;
    }

    /// <summary>Adds a photo to its job; true where it is to be sorted.</summary>
    private static bool Add(SqliteTransaction transaction, StoredJob job, ArrivedPhoto photo)
    {
        var manifest = PhotoRows.ToJson(photo.ManifestPlace);
        var added = transaction.Execute(
            """
            INSERT INTO delivery_photos (delivery_id, sha256, file_name, arrived_utc, sent_by, state, manifest_json)
            VALUES ($delivery, $sha, $name, $time, $by, 'received', $manifest)
            ON CONFLICT DO UPDATE SET state = 'received', manifest_json = $manifest, reason_json = NULL, finished_no = NULL
                WHERE delivery_photos.state = 'unsorted' AND $manifest IS NOT NULL;
            """,
            ("$delivery", job.DeliveryId), ("$sha", photo.Sha256), ("$name", photo.FileName), ("$time", job.CreatedUtc.ToRecord()), ("$by", job.CreatedBy), ("$manifest", manifest));
        transaction.Execute(
            "INSERT OR IGNORE INTO job_photos (job_id, delivery_id, sha256) VALUES ($job, $delivery, $sha);",
            ("$job", job.Id), ("$delivery", job.DeliveryId), ("$sha", photo.Sha256));
        return added == 1;
    }
}
