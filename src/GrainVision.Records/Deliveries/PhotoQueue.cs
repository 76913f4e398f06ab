using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Deliveries;

/// <summary>
/// Which photos of a delivery are ready to be worked on. A face waits while any photo of the delivery is unsorted as yet, since that may prove to be
/// an end of its piece, or while an end of its piece is not measured: the ends give the ring angle that the face is measured with.
/// </summary>
internal static class PhotoQueue
{
    private const string NoEndWaits =
        """
        NOT EXISTS (SELECT 1 FROM delivery_photos e WHERE e.delivery_id = p.delivery_id AND e.piece_number = p.piece_number
            AND e.surface IN ('endA', 'endB') AND e.state IN ('waiting', 'measuring'))
        """;

    public static bool IsEnd(Surface surface) => surface is Surface.EndA or Surface.EndB;

    /// <summary>True where a piece's faces can be measured.</summary>
    public static bool EndsAreDone(SqliteTransaction transaction, string deliveryId, int pieceNumber) => IsSorted(transaction, deliveryId) && transaction.Query(
        $"SELECT 1 FROM (SELECT $id AS delivery_id, $piece AS piece_number) p WHERE {NoEndWaits};", _ => true, ("$id", deliveryId), ("$piece", pieceNumber)).Count > 0;

    /// <summary>Faces that wait and are ready to be measured.</summary>
    public static List<PhotoStep> ReadyFaces(SqliteTransaction transaction, string deliveryId) => !IsSorted(transaction, deliveryId) ? [] : transaction.Query(
        $"SELECT p.sha256 FROM delivery_photos p WHERE p.delivery_id = $id AND p.state = 'waiting' AND p.surface NOT IN ('endA', 'endB') AND {NoEndWaits} ORDER BY p.rowid;",
        r => new PhotoStep(PhotoStepKind.Measure, deliveryId, r.GetString(0)), ("$id", deliveryId));

    /// <summary>Photos that wait to be sorted, and ends that wait to be measured.</summary>
    public static List<PhotoStep> ReceivedAndEnds(SqliteTransaction transaction, string deliveryId) => transaction.Query(
        "SELECT p.state, p.sha256 FROM delivery_photos p WHERE p.delivery_id = $id AND (p.state = 'received' OR (p.state = 'waiting' AND p.surface IN ('endA', 'endB'))) ORDER BY p.rowid;",
        r => new PhotoStep(r.GetString(0) == "received" ? PhotoStepKind.Sort : PhotoStepKind.Measure, deliveryId, r.GetString(1)), ("$id", deliveryId));

    private static bool IsSorted(SqliteTransaction transaction, string deliveryId) => transaction.Query(
        "SELECT 1 FROM delivery_photos WHERE delivery_id = $id AND state IN ('received', 'sorting') LIMIT 1;", _ => true, ("$id", deliveryId)).Count == 0;
}
