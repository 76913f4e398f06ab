using System.Data.Common;
using System.Text.Json.Nodes;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Projection;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Deliveries;

/// <summary>
/// Photos of deliveries in the log. Whatever changes what is recorded of a photo enters the photo as it stands since, whole, in the same transaction: the last
/// entry of a photo is its row. Only notes of the process at work (in hand, how often it died) stand in the row alone.
/// </summary>
public static class PhotoEntry
{
    /// <summary>The photo as its row stands.</summary>
    internal static JsonObject Say(DbTransaction transaction, string deliveryId, string sha256) =>
        ProjectedTables.Photos.Say(transaction, "WHERE delivery_id = @deliveryId AND sha256 = @sha256", new { deliveryId, sha256 }).Single();

    /// <summary>Enters what came of a photo.</summary>
    public static void Append(DbTransaction transaction, string deliveryId, string sha256, string who, DateTimeOffset now) => LogWriter.Append(transaction, new LogEntryDraft
    {
        Kind = LogKind.PhotoState,
        Who = who,
        At = now,
        Subjects = new EntrySubjects { Delivery = deliveryId },
        Body = new { photo = Say(transaction, deliveryId, sha256) },
    });

    /// <summary>Enters an upload: its job with its photos.</summary>
    internal static void AppendUpload(DbTransaction transaction, StoredJob job, IEnumerable<string> photos, IdempotencyKey? key) => LogWriter.Append(transaction, new LogEntryDraft
    {
        Kind = LogKind.Upload,
        Who = job.CreatedBy,
        At = job.CreatedUtc,
        Subjects = new EntrySubjects { Delivery = job.DeliveryId },
        Key = key?.ToEntry(),
        Body = new { job = job.Id, createdUtc = job.CreatedUtc.ToRecord(), photos = photos.Select(sha256 => Say(transaction, job.DeliveryId, sha256)).ToList() },
    });
}
