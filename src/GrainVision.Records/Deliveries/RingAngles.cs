using System.Data.Common;
using Dapper;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Deliveries;

/// <summary>The ring angle that a piece's ends give to its faces, by <see cref="FaceRingAngle.ForMeasuring"/>.</summary>
internal static class RingAngles
{
    /// <summary>Degrees between the growth rings and this face, 0 to 90; null where no end of the piece was measured.</summary>
    public static double? ForFace(DbTransaction transaction, string deliveryId, int pieceNumber, Surface face) => ForFaces(transaction, deliveryId, pieceNumber)(face);

    private static Func<Surface, double?> ForFaces(DbTransaction transaction, string deliveryId, int pieceNumber)
    {
        var ends = transaction.Connection!.Query<EndAngle>(
            """
            SELECT angle_low AS Low, angle_high AS High FROM delivery_photos
            WHERE delivery_id = @deliveryId AND piece_number = @pieceNumber AND measurement_id IS NOT NULL AND surface IN ('endA', 'endB');
            """,
            new { deliveryId, pieceNumber }, transaction).AsList();
        var (low, high) = (ends.Min(e => e.Low), ends.Max(e => e.High));
        var json = transaction.Connection!.ExecuteScalar<string?>(
            "SELECT piece_json FROM pieces WHERE delivery_id = @deliveryId AND number = @pieceNumber;", new { deliveryId, pieceNumber }, transaction);
        var piece = json is null ? null : DeliveryStore.ReadPiece(json);
        return face => piece is null ? null : FaceRingAngle.ForMeasuring(piece, face, low, high);
    }

    /// <summary>
    /// Has every measured face of a piece measured again whose ring angle is no longer the one it was measured with, so that the outcome
    /// does not hang on which photo came first.
    /// </summary>
    /// <param name="transaction">An immediate one.</param>
    /// <param name="deliveryId">The delivery.</param>
    /// <param name="pieceNumber">Of the piece.</param>
    /// <param name="who">Whose photo or word changed the angle: each face is entered in the log.</param>
    /// <param name="now">When.</param>
    /// <returns>How many.</returns>
    public static int RedoFaces(DbTransaction transaction, string deliveryId, int pieceNumber, string who, DateTimeOffset now)
    {
        var faces = transaction.Connection!.Query<MeasuredFace>(
            """
            SELECT sha256 AS Sha256, surface AS Surface, used_angle AS UsedAngle FROM delivery_photos
            WHERE delivery_id = @deliveryId AND piece_number = @pieceNumber AND measurement_id IS NOT NULL AND surface NOT IN ('endA', 'endB');
            """,
            new { deliveryId, pieceNumber }, transaction).AsList();
        var angle = ForFaces(transaction, deliveryId, pieceNumber);
        var redone = 0;
        foreach (var face in faces)
        {
            if (face.UsedAngle == angle(EnumWords.Read<Surface>(face.Surface)))
                continue;
            transaction.Connection!.Execute(
                """
                UPDATE delivery_photos SET measurement_id = NULL, used_angle = NULL, finished_no = NULL
                WHERE delivery_id = @deliveryId AND sha256 = @Sha256;
                """,
                new { deliveryId, face.Sha256 }, transaction);
            PhotoEntry.Append(transaction, deliveryId, face.Sha256, who, now);
            redone++;
        }

        return redone;
    }

    private sealed record EndAngle(double? Low, double? High);

    private sealed record MeasuredFace(string Sha256, string Surface, double? UsedAngle);
}
