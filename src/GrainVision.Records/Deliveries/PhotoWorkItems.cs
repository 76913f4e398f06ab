using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Deliveries;

/// <summary>A photo that is being worked on. It must end in one of the other calls of <see cref="PhotoWorkItems"/>.</summary>
/// <param name="Kind">What to do: a photo that was asked to be sorted may have been placed before the last process died, and is measured then.</param>
/// <param name="Photo">As it was before.</param>
/// <param name="RingAngleDegrees">Of a face to be measured: the ring angle that the piece's ends give; null where none is known.</param>
public sealed record PhotoInWork(PhotoStepKind Kind, DeliveryPhoto Photo, double? RingAngleDegrees = null);

/// <summary>
/// What becomes of a photo, step by step. Whatever a change makes ready to be worked on is queued in the transaction of that change: a second try
/// at once, the faces of a delivery when its last photo is sorted and their piece's ends are done. Who works on what when is the job engine's affair;
/// a step asked for twice finds nothing to do.
/// </summary>
public sealed class PhotoWorkItems(RecordsDatabase database)
{
    /// <summary>2: a photo that failed twice is set aside.</summary>
    public const int MostTries = 2;

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
        using var connection = database.Connect();
        using var transaction = connection.BeginTransaction(deferred: false);
        var left = transaction.Execute(
            """
            UPDATE delivery_photos SET deaths = deaths + 1, state = CASE state WHEN 'sorting' THEN 'received' ELSE 'waiting' END
            WHERE state IN ('sorting', 'measuring');
            """);
        foreach (var (delivery, sha) in transaction.Query(
            "SELECT delivery_id, sha256 FROM delivery_photos WHERE deaths >= $most AND state IN ('received', 'waiting');", r => (r.GetString(0), r.GetString(1)), ("$most", MostDeaths)))
            Finish(transaction, delivery, sha, "setAside", Killed);
        transaction.Commit();
        return left;
    }

    /// <summary>Puts on record that a photo is being worked on, before it is: only so can a photo that kills the process be told.</summary>
    /// <returns>Null where there is nothing to do, or not yet: it is done, was moved, or is a face whose piece's ends are not done.</returns>
    public PhotoInWork? Begin(PhotoStep step)
    {
        ArgumentNullException.ThrowIfNull(step);
        using var connection = database.Connect();
        using var transaction = connection.BeginTransaction(deferred: false);
        var work = Begin(transaction, step);
        transaction.Commit();
        return work;
    }

    /// <summary>A photo that is being sorted proves to be an end and is measured at once.</summary>
    /// <returns>False where it is not being sorted any more.</returns>
    public bool PlaceEnd(DeliveryPhoto photo, PhotoPlace place, SortedBy by, DateTimeOffset now)
    {
        ArgumentNullException.ThrowIfNull(photo);
        using var connection = database.Connect();
        using var transaction = connection.BeginTransaction(deferred: false);
        if (!Place(transaction, photo, place, by, "measuring", cardsJson: null, now))
            return false;
        transaction.Commit();
        return true;
    }

    /// <summary>A photo that was being sorted proves to be a face; it waits for the ends of its piece.</summary>
    /// <param name="photo">The photo.</param>
    /// <param name="place">Where it belongs.</param>
    /// <param name="by">What said so.</param>
    /// <param name="cardsJson">Cards that were found in it, for measuring it.</param>
    /// <param name="now">When.</param>
    /// <param name="enqueue">The job engine.</param>
    public async Task PlaceFace(DeliveryPhoto photo, PhotoPlace place, SortedBy by, string cardsJson, DateTimeOffset now, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        Place(transaction, photo, place, by, "waiting", cardsJson, now);
        await CommitWithFaces(transaction, photo.DeliveryId, [], enqueue);
    }

    /// <summary>Nobody knows where the photo belongs.</summary>
    public async Task Unsorted(DeliveryPhoto photo, PhotoProblem problem, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        Finish(transaction, photo.DeliveryId, photo.Sha256, "unsorted", problem);
        await CommitWithFaces(transaction, photo.DeliveryId, [], enqueue);
    }

    /// <summary>The photo was measured. Faces of its piece that were measured with another ring angle are measured again.</summary>
    /// <param name="photo">The photo.</param>
    /// <param name="place">Where it was measured.</param>
    /// <param name="measurementId">In the measurements, where it is already.</param>
    /// <param name="ringAngle">Of an end: low and high end of the ring angle's interval, degrees; null where it gave none.</param>
    /// <param name="usedAngleDegrees">Of a face: the ring angle it was measured with.</param>
    /// <param name="enqueue">The job engine.</param>
    public async Task Measured(
        DeliveryPhoto photo, PhotoPlace place, string measurementId, (double Low, double High)? ringAngle, double? usedAngleDegrees, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(place);
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        Finish(transaction, photo.DeliveryId, photo.Sha256, "measured", null);
        transaction.Execute(
            "UPDATE delivery_photos SET measurement_id = $measurement, angle_low = $low, angle_high = $high, used_angle = $used WHERE delivery_id = $id AND sha256 = $sha;",
            ("$measurement", measurementId), ("$low", ringAngle?.Low), ("$high", ringAngle?.High), ("$used", usedAngleDegrees), ("$id", photo.DeliveryId), ("$sha", photo.Sha256));
        var redone = RingAngles.RedoFaces(transaction, photo.DeliveryId, place.PieceNumber);
        // A face that is done makes nothing else ready.
        if (PhotoQueue.IsEnd(place.Surface) || redone > 0)
            await CommitWithFaces(transaction, photo.DeliveryId, [], enqueue);
        else
            await transaction.CommitAsync();
    }

    /// <summary>The step failed. It is tried once more where that may help.</summary>
    /// <param name="photo">The photo.</param>
    /// <param name="problem">Why.</param>
    /// <param name="mayPass">False where a second try is bound to end the same.</param>
    /// <param name="enqueue">The job engine.</param>
    public async Task Failed(DeliveryPhoto photo, PhotoProblem problem, bool mayPass, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        if (mayPass && photo.Tries + 1 < MostTries)
        {
            await CommitWithFaces(transaction, photo.DeliveryId, PutBack(transaction, photo, tries: photo.Tries + 1), enqueue);
            return;
        }

        Finish(transaction, photo.DeliveryId, photo.Sha256, "setAside", problem);
        await CommitWithFaces(transaction, photo.DeliveryId, [], enqueue);
    }

    /// <summary>The step was broken off through no fault of the photo: the service stops.</summary>
    public async Task BrokenOff(DeliveryPhoto photo, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        await CommitWithFaces(transaction, photo.DeliveryId, PutBack(transaction, photo, photo.Tries), enqueue);
    }

    /// <summary>Queues all that waits in a delivery: for work that an older version queued without naming the photo.</summary>
    public async Task QueueAll(string deliveryId, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        await CommitWithFaces(transaction, deliveryId, PhotoQueue.ReceivedAndEnds(transaction, deliveryId), enqueue);
    }

    /// <summary>Queues the faces that are ready: for a photo that was set aside at the start, when nothing could be queued yet.</summary>
    public async Task QueueReadyFaces(string deliveryId, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        await CommitWithFaces(transaction, deliveryId, [], enqueue);
    }

    /// <summary>Commits, with these steps and the faces that are ready now queued in the same transaction.</summary>
    private static async Task CommitWithFaces(SqliteTransaction transaction, string deliveryId, IReadOnlyList<PhotoStep> steps, Enqueue enqueue)
    {
        List<PhotoStep> all = [.. steps, .. PhotoQueue.ReadyFaces(transaction, deliveryId)];
        await transaction.CommitWith(await enqueue(transaction, [.. all.Distinct()]));
    }

    private static PhotoInWork? Begin(SqliteTransaction transaction, PhotoStep step)
    {
        if (PhotoRows.Find(transaction, step.DeliveryId, step.Sha256) is not { } photo)
            return null;
        // A photo may be marked already: by a step that could not write how it ended.
        if (step.Kind == PhotoStepKind.Sort && photo.State is PhotoState.Received or PhotoState.Sorting)
            return Mark(transaction, new PhotoInWork(PhotoStepKind.Sort, photo));
        if (photo is not { State: PhotoState.Waiting or PhotoState.Measuring, Place: { } place })
            return null;
        if (PhotoQueue.IsEnd(place.Surface))
            return Mark(transaction, new PhotoInWork(PhotoStepKind.Measure, photo));
        if (step.Kind == PhotoStepKind.Sort || !PhotoQueue.EndsAreDone(transaction, photo.DeliveryId, place.PieceNumber))
            return null;
        return Mark(transaction, new PhotoInWork(PhotoStepKind.Measure, photo, RingAngles.ForFace(transaction, photo.DeliveryId, place.PieceNumber, place.Surface)));
    }

    private static PhotoInWork Mark(SqliteTransaction transaction, PhotoInWork work)
    {
        transaction.Execute(
            "UPDATE delivery_photos SET state = $state WHERE delivery_id = $id AND sha256 = $sha;",
            ("$state", work.Kind == PhotoStepKind.Sort ? "sorting" : "measuring"), ("$id", work.Photo.DeliveryId), ("$sha", work.Photo.Sha256));
        return work;
    }

    private static bool Place(SqliteTransaction transaction, DeliveryPhoto photo, PhotoPlace place, SortedBy by, string state, string? cardsJson, DateTimeOffset now)
    {
        var placed = transaction.Execute(
            """
            UPDATE delivery_photos SET state = $state, place_json = $place, piece_number = $piece, surface = $surface, sorted_by = $by, cards_json = $cards
            WHERE delivery_id = $id AND sha256 = $sha AND state = 'sorting';
            """,
            ("$state", state), ("$place", PhotoRows.ToJson(place)), ("$piece", place.PieceNumber), ("$surface", PhotoRows.Word(place.Surface)), ("$by", PhotoRows.Word(by)),
            ("$cards", cardsJson), ("$id", photo.DeliveryId), ("$sha", photo.Sha256)) == 1;
        if (placed)
            PlacementEntry.Append(transaction, photo.DeliveryId, photo.Sha256, photo.FileName, place, by, photo.SentBy, now);
        return placed;
    }

    /// <summary>Puts a photo in hand back; gives the step that takes it up again.</summary>
    private static List<PhotoStep> PutBack(SqliteTransaction transaction, DeliveryPhoto photo, int tries) => transaction.Query(
        """
        UPDATE delivery_photos SET state = CASE state WHEN 'sorting' THEN 'received' ELSE 'waiting' END, tries = $tries
        WHERE delivery_id = $id AND sha256 = $sha AND state IN ('sorting', 'measuring') RETURNING state;
        """,
        r => new PhotoStep(r.GetString(0) == "received" ? PhotoStepKind.Sort : PhotoStepKind.Measure, photo.DeliveryId, photo.Sha256),
        ("$tries", tries), ("$id", photo.DeliveryId), ("$sha", photo.Sha256));

    private static void Finish(SqliteTransaction transaction, string deliveryId, string sha256, string state, PhotoProblem? problem) => transaction.Execute(
        "UPDATE delivery_photos SET state = $state, reason_json = $reason, finished_no = $no WHERE delivery_id = $id AND sha256 = $sha;",
        ("$state", state), ("$reason", PhotoRows.ToJson(problem)), ("$no", PhotoRows.NextTurn(transaction, deliveryId)), ("$id", deliveryId), ("$sha", sha256));
}
