using System.Data.Common;
using Dapper;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;

namespace GrainVision.Records.Deliveries;

/// <summary>
/// Which photos of a delivery are ready to be worked on. A face waits while any photo of the delivery is unsorted as yet, since that may prove to be
/// an end of its piece, or while an end of its piece is not measured: the ends give the ring angle that the face is measured with.
/// </summary>
internal static class PhotoQueue
{
    private const string NoEndWaits =
        $"""
        NOT EXISTS (SELECT 1 FROM delivery_photos e WHERE e.delivery_id = p.delivery_id AND e.piece_number = p.piece_number
            AND e.surface IN ('endA', 'endB') AND {PhotoRows.IsOpen})
        """;

    public static bool IsEnd(Surface surface) => surface is Surface.EndA or Surface.EndB;

    /// <summary>True where a piece's faces can be measured.</summary>
    public static bool EndsAreDone(DbTransaction transaction, string deliveryId, int pieceNumber) => IsSorted(transaction, deliveryId) && transaction.Connection!.ExecuteScalar<long?>(
        $"SELECT 1 FROM (SELECT @deliveryId AS delivery_id, @pieceNumber AS piece_number) p WHERE {NoEndWaits};", new { deliveryId, pieceNumber }, transaction) is not null;

    /// <summary>Faces that wait and are ready to be measured.</summary>
    public static List<PhotoStep> ReadyFaces(DbTransaction transaction, string deliveryId) => !IsSorted(transaction, deliveryId) ? [] :
    [
        .. transaction.Connection!.Query<string>(
            $"""
            SELECT p.sha256 FROM delivery_photos p
            WHERE p.delivery_id = @deliveryId AND {PhotoRows.IsOpen} AND p.in_hand = 0 AND p.surface NOT IN ('endA', 'endB') AND {NoEndWaits} ORDER BY p.rowid;
            """,
            new { deliveryId }, transaction)
            .Select(sha256 => new PhotoStep(PhotoStepKind.Measure, deliveryId, sha256)),
    ];

    /// <summary>Photos that wait to be sorted, and ends that wait to be measured.</summary>
    public static List<PhotoStep> ReceivedAndEnds(DbTransaction transaction, string deliveryId) =>
    [
        .. transaction.Connection!.Query<Waiting>(
            $"""
            SELECT p.place_json IS NOT NULL AS IsPlaced, p.sha256 AS Sha256 FROM delivery_photos p
            WHERE p.delivery_id = @deliveryId AND {PhotoRows.IsOpen} AND p.in_hand = 0 AND (p.place_json IS NULL OR p.surface IN ('endA', 'endB')) ORDER BY p.rowid;
            """,
            new { deliveryId }, transaction)
            .Select(w => new PhotoStep(PhotoRows.NextStep(w.IsPlaced != 0), deliveryId, w.Sha256)),
    ];

    private static bool IsSorted(DbTransaction transaction, string deliveryId) => transaction.Connection!.ExecuteScalar<long?>(
        $"SELECT 1 FROM delivery_photos WHERE delivery_id = @deliveryId AND place_json IS NULL AND {PhotoRows.IsOpen} LIMIT 1;", new { deliveryId }, transaction) is null;

    private sealed record Waiting(long IsPlaced, string Sha256);
}
