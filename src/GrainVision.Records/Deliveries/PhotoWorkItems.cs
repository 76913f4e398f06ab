using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Deliveries;

/// <summary>What there is to do in a delivery.</summary>
public enum ClaimKind
{
    /// <summary>Nothing waits.</summary>
    Nothing,

    /// <summary>Something waits, but for another photo that is being worked on.</summary>
    Later,

    /// <summary>The photo is this caller's to sort.</summary>
    Sort,

    /// <summary>The photo is this caller's to measure.</summary>
    Measure,
}

/// <summary>A photo to work on. Every claim must end in one of the other calls of <see cref="PhotoWorkItems"/>.</summary>
/// <param name="Kind">What to do.</param>
/// <param name="Photo">Null where there is nothing to do, or not yet.</param>
/// <param name="RingAngleDegrees">Of a face: the ring angle that the piece's ends give; null where none is known.</param>
public sealed record Claim(ClaimKind Kind, DeliveryPhoto? Photo = null, double? RingAngleDegrees = null);

/// <summary>
/// The work on photos, one step of one photo at a time: all are sorted first, then a piece's ends are measured before its faces. What was
/// claimed is on record before the work starts, so work that a dead process left behind is known for what it is.
/// </summary>
public sealed class PhotoWorkItems(RecordsDatabase database)
{
    /// <summary>2: a photo that failed twice is set aside.</summary>
    public const int MostTries = 2;

    /// <summary>
    /// 4: a photo that was being worked on when the process died this often is set aside. A process may die of something else, such as
    /// a power cut, with an innocent photo in hand; such photos come last and alone from then on, so one that really kills the
    /// process is soon the only one at hand.
    /// </summary>
    public const int MostDeaths = 4;

    /// <summary>A face waits while any photo of the delivery is unsorted as yet, or an end of its piece is not measured.</summary>
    private const string EndsAreDone =
        """
        NOT EXISTS (SELECT 1 FROM delivery_photos e WHERE e.delivery_id = p.delivery_id AND (e.state IN ('received', 'sorting')
            OR (e.piece_number = p.piece_number AND e.surface IN ('endA', 'endB') AND e.state IN ('waiting', 'measuring'))))
        """;

    private const string IsEnd = "p.surface IN ('endA', 'endB')";

    private static readonly PhotoProblem Killed = new(
        "process-died", $"The service stopped {MostDeaths} times while it worked on this photo.", "Look at the photo; save it anew and send it again, or have it tried again.");

    /// <summary>Puts what a dead process had in hand back into the queue. For the start of the one process that works on these records.</summary>
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

    /// <summary>Takes the next step of a delivery.</summary>
    public Claim Next(string deliveryId)
    {
        using var connection = database.Connect();
        using var transaction = connection.BeginTransaction(deferred: false);
        var claim = Take(transaction, deliveryId);
        transaction.Commit();
        return claim;
    }

    /// <summary>The photo belongs here; measuring it is the next step.</summary>
    public async Task Sorted(DeliveryPhoto photo, PhotoPlace place, SortedBy by, DateTimeOffset now, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(place);
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        transaction.Execute(
            "UPDATE delivery_photos SET state = 'waiting', place_json = $place, piece_number = $piece, surface = $surface, sorted_by = $by WHERE delivery_id = $id AND sha256 = $sha;",
            ("$place", PhotoRows.ToJson(place)), ("$piece", place.PieceNumber), ("$surface", PhotoRows.Word(place.Surface)), ("$by", PhotoRows.Word(by)),
            ("$id", photo.DeliveryId), ("$sha", photo.Sha256));
        PlacementEntry.Append(transaction, photo.DeliveryId, photo.Sha256, photo.FileName, place, by, photo.SentBy, now);
        await transaction.CommitWith(await enqueue(transaction, photo.DeliveryId, 1));
    }

    /// <summary>Nobody knows where the photo belongs.</summary>
    public void Unsorted(DeliveryPhoto photo, PhotoProblem problem)
    {
        ArgumentNullException.ThrowIfNull(photo);
        using var connection = database.Connect();
        using var transaction = connection.BeginTransaction(deferred: false);
        Finish(transaction, photo.DeliveryId, photo.Sha256, "unsorted", problem);
        transaction.Commit();
    }

    /// <summary>The photo was measured. Faces of its piece that were measured with another ring angle go back into the queue.</summary>
    /// <param name="claim">What was claimed.</param>
    /// <param name="measurementId">In the measurements, where it is already.</param>
    /// <param name="ringAngle">Of an end: low and high end of the ring angle's interval, degrees; null where it gave none.</param>
    /// <param name="enqueue">The job engine.</param>
    public async Task Measured(Claim claim, string measurementId, (double Low, double High)? ringAngle, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(claim);
        ArgumentNullException.ThrowIfNull(enqueue);
        var photo = claim.Photo!;
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        Finish(transaction, photo.DeliveryId, photo.Sha256, "measured", null);
        transaction.Execute(
            "UPDATE delivery_photos SET measurement_id = $measurement, angle_low = $low, angle_high = $high, used_angle = $used WHERE delivery_id = $id AND sha256 = $sha;",
            ("$measurement", measurementId), ("$low", ringAngle?.Low), ("$high", ringAngle?.High), ("$used", claim.RingAngleDegrees), ("$id", photo.DeliveryId), ("$sha", photo.Sha256));
        var redone = RingAngles.RedoFaces(transaction, photo.DeliveryId, photo.Place!.PieceNumber);
        await transaction.CommitWith(await enqueue(transaction, photo.DeliveryId, redone));
    }

    /// <summary>The step failed. It is tried once more where that may help.</summary>
    /// <param name="photo">What was claimed.</param>
    /// <param name="problem">Why.</param>
    /// <param name="mayPass">False where a second try is bound to end the same.</param>
    /// <param name="enqueue">The job engine.</param>
    public async Task Failed(DeliveryPhoto photo, PhotoProblem problem, bool mayPass, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        var again = mayPass && photo.Tries + 1 < MostTries;
        if (again)
            PutBack(transaction, photo, tries: photo.Tries + 1);
        else
            Finish(transaction, photo.DeliveryId, photo.Sha256, "setAside", problem);
        await transaction.CommitWith(await enqueue(transaction, photo.DeliveryId, again ? 1 : 0));
    }

    /// <summary>The step was broken off through no fault of the photo: the service stops.</summary>
    public async Task BrokenOff(DeliveryPhoto photo, Enqueue enqueue)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(enqueue);
        await using var connection = database.Connect();
        await using var transaction = connection.BeginTransaction(deferred: false);
        PutBack(transaction, photo, photo.Tries);
        await transaction.CommitWith(await enqueue(transaction, photo.DeliveryId, 1));
    }

    private static void PutBack(SqliteTransaction transaction, DeliveryPhoto photo, int tries) => transaction.Execute(
        "UPDATE delivery_photos SET state = CASE state WHEN 'sorting' THEN 'received' ELSE 'waiting' END, tries = $tries WHERE delivery_id = $id AND sha256 = $sha AND state IN ('sorting', 'measuring');",
        ("$tries", tries), ("$id", photo.DeliveryId), ("$sha", photo.Sha256));

    private static void Finish(SqliteTransaction transaction, string deliveryId, string sha256, string state, PhotoProblem? problem) => transaction.Execute(
        "UPDATE delivery_photos SET state = $state, reason_json = $reason, finished_no = $no WHERE delivery_id = $id AND sha256 = $sha;",
        ("$state", state), ("$reason", PhotoRows.ToJson(problem)), ("$no", PhotoRows.NextTurn(transaction, deliveryId)), ("$id", deliveryId), ("$sha", sha256));

    private static Claim Take(SqliteTransaction transaction, string deliveryId)
    {
        var suspectAtWork = Any(transaction, "SELECT 1 FROM delivery_photos WHERE state IN ('sorting', 'measuring') AND deaths > 0 LIMIT 1;");
        if (!suspectAtWork)
        {
            var found = First(transaction, deliveryId, "p.state = 'received' AND p.deaths = 0")
                ?? First(transaction, deliveryId, $"p.state = 'waiting' AND p.deaths = 0 AND {IsEnd} AND NOT EXISTS (SELECT 1 FROM delivery_photos e WHERE e.delivery_id = p.delivery_id AND e.state IN ('received', 'sorting') AND e.deaths = 0)")
                ?? First(transaction, deliveryId, $"p.state = 'waiting' AND p.deaths = 0 AND NOT {IsEnd} AND {EndsAreDone}");
            // Photos that a dead process had in hand: last, and alone.
            if (found is null && !Any(transaction, "SELECT 1 FROM delivery_photos WHERE state IN ('sorting', 'measuring') LIMIT 1;"))
            {
                found = First(transaction, deliveryId, "p.state = 'received'")
                    ?? First(transaction, deliveryId, $"p.state = 'waiting' AND {IsEnd}")
                    ?? First(transaction, deliveryId, "p.state = 'waiting'");
            }

            if (found is not null)
                return Start(transaction, found);
        }

        return new Claim(
            Any(transaction, "SELECT 1 FROM delivery_photos WHERE delivery_id = $id AND state IN ('received', 'waiting') LIMIT 1;", ("$id", deliveryId)) ? ClaimKind.Later : ClaimKind.Nothing);
    }

    private static Claim Start(SqliteTransaction transaction, DeliveryPhoto photo)
    {
        var sorts = photo.State == PhotoState.Received;
        transaction.Execute(
            "UPDATE delivery_photos SET state = $state WHERE delivery_id = $id AND sha256 = $sha;",
            ("$state", sorts ? "sorting" : "measuring"), ("$id", photo.DeliveryId), ("$sha", photo.Sha256));
        if (sorts)
            return new Claim(ClaimKind.Sort, photo);
        var place = photo.Place!;
        var angle = place.Surface is Surface.EndA or Surface.EndB ? null : RingAngles.ForFace(transaction, photo.DeliveryId, place.PieceNumber, place.Surface);
        return new Claim(ClaimKind.Measure, photo, angle);
    }

    private static DeliveryPhoto? First(SqliteTransaction transaction, string deliveryId, string condition) => transaction.Query(
        $"SELECT {PhotoRows.Columns} FROM delivery_photos p WHERE p.delivery_id = $id AND {condition} ORDER BY p.rowid LIMIT 1;", PhotoRows.Read, ("$id", deliveryId)).FirstOrDefault();

    private static bool Any(SqliteTransaction transaction, string sql, params ReadOnlySpan<(string Name, object? Value)> values) =>
        transaction.Query(sql, _ => true, values).Count > 0;
}
