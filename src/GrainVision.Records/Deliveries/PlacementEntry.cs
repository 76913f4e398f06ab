using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Log;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Deliveries;

/// <summary>Which photo was given to which piece, by what: in the log, since a finding on the wrong piece is a wrong accept in the making.</summary>
internal static class PlacementEntry
{
    public static void Append(
        SqliteTransaction transaction, string deliveryId, string sha256, string fileName, PhotoPlace place, SortedBy by, string who, DateTimeOffset now)
    {
        var piece = transaction.Query(
            "SELECT id FROM pieces WHERE delivery_id = $id AND number = $number;", r => r.GetString(0), ("$id", deliveryId), ("$number", place.PieceNumber)).FirstOrDefault();
        LogWriter.Append(transaction, new LogEntryDraft
        {
            Kind = LogKind.CardAssignment,
            Who = who,
            At = now,
            Subjects = new EntrySubjects { Delivery = deliveryId, Piece = piece },
            PhotoSha256 = sha256,
            Body = new { fileName, place, by },
        });
    }
}
