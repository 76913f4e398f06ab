using System.Data.Common;
using Dapper;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Log;

namespace GrainVision.Records.Deliveries;

/// <summary>Which photo was given to which piece, by what: in the log, since a finding on the wrong piece is a wrong accept in the making.</summary>
internal static class PlacementEntry
{
    /// <summary>Enters where a photo was placed, once its row says so.</summary>
    public static void Append(
        DbTransaction transaction, string deliveryId, string sha256, string fileName, PhotoPlace place, SortedBy by, string who, DateTimeOffset now)
    {
        var piece = transaction.Connection!.ExecuteScalar<string?>(
            "SELECT id FROM pieces WHERE delivery_id = @deliveryId AND number = @PieceNumber;", new { deliveryId, place.PieceNumber }, transaction);
        LogWriter.Append(transaction, new LogEntryDraft
        {
            Kind = LogKind.CardAssignment,
            Who = who,
            At = now,
            Subjects = new EntrySubjects { Delivery = deliveryId, Piece = piece },
            PhotoSha256 = sha256,
            Body = new { fileName, place, by, photo = PhotoEntry.Say(transaction, deliveryId, sha256) },
        });
    }
}
