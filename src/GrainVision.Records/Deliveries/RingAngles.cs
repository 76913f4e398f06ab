using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Deliveries;

/// <summary>The ring angle that a piece's ends give to its faces, by <see cref="FaceRingAngle.ForMeasuring"/>.</summary>
internal static class RingAngles
{
    /// <summary>Degrees between the growth rings and this face, 0 to 90; null where no end of the piece was measured.</summary>
    public static double? ForFace(SqliteTransaction transaction, string deliveryId, int pieceNumber, Surface face) => ForFaces(transaction, deliveryId, pieceNumber)(face);

    private static Func<Surface, double?> ForFaces(SqliteTransaction transaction, string deliveryId, int pieceNumber)
    {
        var (low, high) = transaction.Query(
            "SELECT min(angle_low), max(angle_high) FROM delivery_photos WHERE delivery_id = $id AND piece_number = $piece AND state = 'measured' AND surface IN ('endA', 'endB');",
            r => (r.RealOrNull(0), r.RealOrNull(1)), ("$id", deliveryId), ("$piece", pieceNumber))[0];
        var piece = transaction.Query(
            "SELECT piece_json FROM pieces WHERE delivery_id = $id AND number = $piece;", r => DeliveryStore.ReadPiece(r.GetString(0)), ("$id", deliveryId), ("$piece", pieceNumber)).FirstOrDefault();
        return face => piece is null ? null : FaceRingAngle.ForMeasuring(piece, face, low, high);
    }

    /// <summary>
    /// Has every measured face of a piece measured again whose ring angle is no longer the one it was measured with, so that the outcome
    /// does not hang on which photo came first.
    /// </summary>
    /// <returns>How many.</returns>
    public static int RedoFaces(SqliteTransaction transaction, string deliveryId, int pieceNumber)
    {
        var faces = transaction.Query(
            "SELECT sha256, surface, used_angle FROM delivery_photos WHERE delivery_id = $id AND piece_number = $piece AND state = 'measured' AND surface NOT IN ('endA', 'endB');",
            r => (Sha: r.GetString(0), Face: PhotoRows.Word<Surface>(r.GetString(1)), Used: r.RealOrNull(2)), ("$id", deliveryId), ("$piece", pieceNumber));
        var angle = ForFaces(transaction, deliveryId, pieceNumber);
        var redone = 0;
        foreach (var (sha, face, used) in faces)
        {
            if (used == angle(face))
                continue;
            redone += transaction.Execute(
                "UPDATE delivery_photos SET state = 'waiting', measurement_id = NULL, used_angle = NULL, finished_no = NULL WHERE delivery_id = $id AND sha256 = $sha;", ("$id", deliveryId), ("$sha", sha));
        }

        return redone;
    }
}
