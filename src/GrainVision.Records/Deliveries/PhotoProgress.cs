using System.Data.Common;
using Dapper;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Deliveries;

/// <summary>A photo that is being worked on. It must end in one of the other calls of <see cref="PhotoProgress"/>.</summary>
/// <param name="Kind">What to do: a photo that was asked to be sorted may have been placed before the last process died, and is measured then.</param>
/// <param name="Photo">As it was before.</param>
/// <param name="RingAngleDegrees">Of a face to be measured: the ring angle that the piece's ends give; null where none is known.</param>
public sealed record PhotoInWork(PhotoStepKind Kind, DeliveryPhoto Photo, double? RingAngleDegrees = null);

/// <summary>
/// What each step on a photo of a delivery came to: its place, its measurement, or why there is none. What runs, when and how often is the job engine's
/// affair alone: a change that makes steps possible hands them to it in its own transaction (the faces of a delivery when its last photo is sorted and
/// their piece's ends are done), and <see cref="Begin(PhotoStep)"/> lets a step that comes twice or too late find nothing to do.
/// </summary>
public sealed class PhotoProgress(RecordsDatabase database, TimeProvider time)
{
    /// <summary>
    /// 4: a photo that was being worked on when the process died this often is set aside. A process may die of something else, such as
    /// a power cut, with an innocent photo in hand; such photos are worked on alone from then on, so one that really kills the
    /// process is soon the only one at hand.
    /// </summary>
    public const int MostDeaths = 4;

    private static readonly PhotoProblem Killed = new(
        "process-died", $"The service stopped {MostDeaths} times while it worked on this photo.", "Look at the photo; save it anew and send it again, or have it tried again.");

    /// <summary>Counts what a dead process had in hand, and sets aside what died too often. For the start of the one process that works on these records.</summary>
    public int TakeUpLeftWork()
    {
        using var writing = database.Write();
        var (connection, transaction) = (writing.Transaction.Connection!, writing.Transaction);
        var left = connection.Execute("UPDATE delivery_photos SET deaths = deaths + 1, in_hand = 0 WHERE in_hand = 1;", null, transaction);
        foreach (var (delivery, sha256, sentBy) in connection.Query<Dead>(
            $"SELECT delivery_id AS DeliveryId, sha256 AS Sha256, sent_by AS SentBy FROM delivery_photos WHERE deaths >= @MostDeaths AND {PhotoRows.IsOpen};", new { MostDeaths }, transaction))
        {
            Finish(transaction, delivery, sha256, Killed, needsPlace: false);
            PhotoEntry.Append(transaction, delivery, sha256, sentBy, time.GetUtcNow());
        }

        writing.Commit();
        return left;
    }

    /// <summary>Puts on record that a photo is being worked on, before it is: only so can a photo that kills the process be told.</summary>
    /// <returns>Null where there is nothing to do, or not yet: it is done, was moved, or is a face whose piece's ends are not done.</returns>
    public PhotoInWork? Begin(PhotoStep step)
    {
        ArgumentNullException.ThrowIfNull(step);
        using var writing = database.Write();
        var work = Begin(writing.Transaction, step);
        writing.Commit();
        return work;
    }

    /// <summary>A photo that is being sorted proves to be an end and is measured at once.</summary>
    /// <returns>False where it is not being sorted any more.</returns>
    public bool PlaceEnd(DeliveryPhoto photo, PhotoPlace place, SortedBy by, DateTimeOffset now)
    {
        ArgumentNullException.ThrowIfNull(photo);
        using var writing = database.Write();
        if (!Place(writing.Transaction, photo, place, by, inHand: true, cardsJson: null, now))
            return false;
        writing.Commit();
        return true;
    }

    /// <summary>A photo that was being sorted proves to be a face; it waits for the ends of its piece.</summary>
    /// <param name="photo">The photo.</param>
    /// <param name="place">Where it belongs.</param>
    /// <param name="by">What said so.</param>
    /// <param name="cardsJson">Cards that were found in it, for measuring it.</param>
    /// <param name="now">When.</param>
    /// <param name="enqueue">The job engine.</param>
    public Task PlaceFace(DeliveryPhoto photo, PhotoPlace place, SortedBy by, string cardsJson, DateTimeOffset now, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        return Change(enqueue, transaction =>
        {
            Place(transaction, photo, place, by, inHand: false, cardsJson, now);
            return PhotoQueue.ReadyFaces(transaction, photo.DeliveryId);
        });
    }

    /// <summary>Nobody knows where the photo belongs.</summary>
    public Task Unsorted(DeliveryPhoto photo, PhotoProblem problem, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        return Done(photo, problem, needsPlace: true, enqueue);
    }

    /// <summary>The photo was measured. Faces of its piece that were measured with another ring angle are measured again.</summary>
    /// <param name="photo">The photo.</param>
    /// <param name="place">Where it was measured.</param>
    /// <param name="measurementId">In the measurements, where it is already.</param>
    /// <param name="ringAngle">Of an end: low and high end of the ring angle's interval, degrees; null where it gave none.</param>
    /// <param name="usedAngleDegrees">Of a face: the ring angle it was measured with.</param>
    /// <param name="enqueue">The job engine.</param>
    public Task Measured(
        DeliveryPhoto photo, PhotoPlace place, string measurementId, (double Low, double High)? ringAngle, double? usedAngleDegrees, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(place);
        return Change(enqueue, transaction =>
        {
            Finish(transaction, photo.DeliveryId, photo.Sha256, problem: null, needsPlace: false);
            transaction.Connection!.Execute(
                """
                UPDATE delivery_photos SET measurement_id = @measurementId, angle_low = @low, angle_high = @high, used_angle = @usedAngleDegrees
                WHERE delivery_id = @DeliveryId AND sha256 = @Sha256;
                """,
                new { measurementId, low = ringAngle?.Low, high = ringAngle?.High, usedAngleDegrees, photo.DeliveryId, photo.Sha256 }, transaction);
            var now = time.GetUtcNow();
            PhotoEntry.Append(transaction, photo.DeliveryId, photo.Sha256, photo.SentBy, now);
            var redone = RingAngles.RedoFaces(transaction, photo.DeliveryId, place.PieceNumber, photo.SentBy, now);

            // A face that is done makes nothing else ready.
            return PhotoQueue.IsEnd(place.Surface) || redone > 0 ? PhotoQueue.ReadyFaces(transaction, photo.DeliveryId) : [];
        });
    }

    /// <summary>The step failed for good.</summary>
    public Task SetAside(DeliveryPhoto photo, PhotoProblem problem, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        return Done(photo, problem, needsPlace: false, enqueue);
    }

    /// <summary>The step failed, and the job engine will bring it again.</summary>
    public void PutDown(DeliveryPhoto photo)
    {
        ArgumentNullException.ThrowIfNull(photo);
        using var writing = database.Write();
        PutDown(writing.Transaction, photo);
        writing.Commit();
    }

    /// <summary>The step was broken off through no fault of the photo: the service stops. It is queued anew.</summary>
    public Task BrokenOff(DeliveryPhoto photo, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        return Change(enqueue, transaction => PutDown(transaction, photo) is { } isPlaced ? [new PhotoStep(PhotoRows.NextStep(isPlaced != 0), photo.DeliveryId, photo.Sha256)] : []);
    }

    /// <summary>Queues all that waits in a delivery: for work that an older version queued without naming the photo.</summary>
    public Task QueueAll(string deliveryId, Enqueue enqueue) => Change(enqueue, transaction =>
        [.. PhotoQueue.ReceivedAndEnds(transaction, deliveryId), .. PhotoQueue.ReadyFaces(transaction, deliveryId)]);

    /// <summary>Queues the faces that are ready: for a photo that was set aside at the start, when nothing could be queued yet.</summary>
    public Task QueueReadyFaces(string deliveryId, Enqueue enqueue) => Change(enqueue, transaction => PhotoQueue.ReadyFaces(transaction, deliveryId));

    /// <summary>Records a change, and queues in the same transaction the steps that it says are ready now.</summary>
    private async Task Change(Enqueue enqueue, Func<DbTransaction, IReadOnlyList<PhotoStep>> change)
    {
        ArgumentNullException.ThrowIfNull(enqueue);
        using var writing = await database.WriteAsync();
        IReadOnlyList<PhotoStep> ready = [.. change(writing.Transaction).Distinct()];
        if (ready.Count == 0)
            writing.Commit();
        else
            await writing.CommitThen(await enqueue(writing.Transaction, ready));
    }

    private static PhotoInWork? Begin(DbTransaction transaction, PhotoStep step)
    {
        if (PhotoRows.Find(transaction.Connection!, step.DeliveryId, step.Sha256, transaction) is not { } photo)
            return null;
        // A photo may be marked already: by a step that could not write how it ended.
        if (photo is not { MeasurementId: null, Problem: null })
            return null;
        if (photo.Place is not { } place)
            return step.Kind == PhotoStepKind.Sort ? Mark(transaction, new PhotoInWork(PhotoStepKind.Sort, photo)) : null;
        if (PhotoQueue.IsEnd(place.Surface))
            return Mark(transaction, new PhotoInWork(PhotoStepKind.Measure, photo));
        if (step.Kind == PhotoStepKind.Sort || !PhotoQueue.EndsAreDone(transaction, photo.DeliveryId, place.PieceNumber))
            return null;
        return Mark(transaction, new PhotoInWork(PhotoStepKind.Measure, photo, RingAngles.ForFace(transaction, photo.DeliveryId, place.PieceNumber, place.Surface)));
    }

    private static PhotoInWork Mark(DbTransaction transaction, PhotoInWork work)
    {
        transaction.Connection!.Execute(
            "UPDATE delivery_photos SET in_hand = 1 WHERE delivery_id = @DeliveryId AND sha256 = @Sha256;", new { work.Photo.DeliveryId, work.Photo.Sha256 }, transaction);
        return work;
    }

    private static bool Place(DbTransaction transaction, DeliveryPhoto photo, PhotoPlace place, SortedBy by, bool inHand, string? cardsJson, DateTimeOffset now)
    {
        var placed = transaction.Connection!.Execute(
            $"""
            UPDATE delivery_photos SET in_hand = @inHand, place_json = @json, piece_number = @PieceNumber, surface = @surface, sorted_by = @sortedBy, cards_json = @cardsJson
            WHERE delivery_id = @DeliveryId AND sha256 = @Sha256 AND in_hand = 1 AND place_json IS NULL AND {PhotoRows.IsOpen};
            """,
            new
            {
                inHand, json = PhotoRows.ToJson(place), place.PieceNumber, surface = EnumWords.Write(place.Surface), sortedBy = EnumWords.Write(by), cardsJson, photo.DeliveryId, photo.Sha256,
            },
            transaction) == 1;
        if (placed)
            PlacementEntry.Append(transaction, photo.DeliveryId, photo.Sha256, photo.FileName, place, by, photo.SentBy, now);
        return placed;
    }

    /// <summary>Takes the mark off a photo in hand; gives whether it is placed, null where it was not in hand.</summary>
    private static long? PutDown(DbTransaction transaction, DeliveryPhoto photo) => transaction.Connection!.ExecuteScalar<long?>(
        "UPDATE delivery_photos SET in_hand = 0 WHERE delivery_id = @DeliveryId AND sha256 = @Sha256 AND in_hand = 1 RETURNING place_json IS NOT NULL;",
        new { photo.DeliveryId, photo.Sha256 }, transaction);

    private Task Done(DeliveryPhoto photo, PhotoProblem problem, bool needsPlace, Enqueue enqueue) => Change(enqueue, transaction =>
    {
        Finish(transaction, photo.DeliveryId, photo.Sha256, problem, needsPlace);
        PhotoEntry.Append(transaction, photo.DeliveryId, photo.Sha256, photo.SentBy, time.GetUtcNow());
        return PhotoQueue.ReadyFaces(transaction, photo.DeliveryId);
    });

    private static void Finish(DbTransaction transaction, string deliveryId, string sha256, PhotoProblem? problem, bool needsPlace) => transaction.Connection!.Execute(
        """
        UPDATE delivery_photos SET in_hand = 0, reason_json = @reason, needs_place = @needsPlace, finished_no = @turn
        WHERE delivery_id = @deliveryId AND sha256 = @sha256;
        """,
        new { reason = PhotoRows.ToJson(problem), needsPlace, turn = PhotoRows.NextTurn(transaction, deliveryId), deliveryId, sha256 }, transaction);

    private sealed record Dead(string DeliveryId, string Sha256, string SentBy);
}
