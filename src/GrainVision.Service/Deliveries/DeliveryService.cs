using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Deliveries;
using GrainVision.Records.Measurements;
using GrainVision.Service.Http;
using GrainVision.Service.Measurements;
using GrainVision.Service.RuleBooks;
using GrainVision.Service.Storage;
using GrainVision.Service.Uploads;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Deliveries;

/// <summary>Takes deliveries and their photos in, and what a person says of a photo.</summary>
internal sealed class DeliveryService(
    RuleBookCatalog books, DeliveryStore deliveries, DeliveryPhotoStore photos, ContentStores stores, Enqueue enqueue, IOptions<DeliveryOptions> options, TimeProvider time) : IDisposable
{
    private readonly SemaphoreSlim _uploads = new(options.Value.Uploads);

    public static Refusal NoDelivery { get; } = RefusalCatalog.DeliveryUnknown.Because("There is no delivery of that id.");

    private static readonly Refusal NoPhoto = RefusalCatalog.PhotoUnknown.Because("The delivery has no photo of that SHA-256.");

    private static readonly Refusal AtWork = RefusalCatalog.PhotoAtWork.Because("The photo is being worked on just now.");

    /// <summary>Records a delivery; a repeat with the same key gives the first answer.</summary>
    public Outcome<StoredDelivery> Enter(DeliveryRequest request, string json, SentKey sent)
    {
        var key = sent.Over("delivery", json);
        if (IdempotencyKeys.FirstAnswer<StoredDelivery>(key, FindEntered) is { } before)
            return before;
        if (!request.Read(books.Books).TryGet(out var read, out var wrong))
            return wrong;
        var now = time.GetUtcNow();
        var id = NewId(now);
        var stored = new StoredDelivery(
            id, now, sent.Client, read with { Id = id }, request.Scale is null ? null : JsonSerializer.Serialize(request.Scale, ContractJson.Options));
        var pieces = request.Pieces.Select(p => p with { Id = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{id}-{p.Number}") });
        return deliveries.TryAdd(stored, pieces, key) ? stored : IdempotencyKeys.AnswerOfTheOther<StoredDelivery>(key, FindEntered);
    }

    /// <summary>Receives photos and hands them to the job engine.</summary>
    public async Task<Outcome<ReceivedJob>> Receive(string deliveryId, MultipartForm form, SentKey sent, CancellationToken cancel)
    {
        if (deliveries.Find(deliveryId) is null)
            return NoDelivery;
        if (!await _uploads.WaitAsync(0, cancel))
            return MeasuringWorkers.Busy;
        try
        {
            using var received = new ReceivedPhotos(stores.Photos, options.Value.Limits);
            using var photosForm = new PhotosForm(received, stores.Photos, options.Value.Limits);
            if (await photosForm.Read(form, cancel) is { } refusal)
                return refusal;
            var key = sent.Over(["photos", deliveryId, .. received.Content]);
            if (IdempotencyKeys.FirstAnswer<ReceivedJob>(key, FindReceived) is { } before)
                return before;
            var now = time.GetUtcNow();
            var job = new StoredJob(NewId(now), deliveryId, now, sent.Client);
            var kept = received.Keep().Select(k => new ArrivedPhoto(k.Sha256, k.Name, k.ManifestPlace)).ToList();
            return await photos.TryAdd(job, kept, key, enqueue)
                ? new ReceivedJob(job, received.Warnings)
                : IdempotencyKeys.AnswerOfTheOther<ReceivedJob>(key, FindReceived);
        }
        finally
        {
            _uploads.Release();
        }
    }

    /// <summary>A person says where a photo belongs.</summary>
    public async Task<Outcome<DeliveryPhoto>> Assign(string deliveryId, string sha256, PhotoPlace place, string who)
    {
        if (photos.Find(deliveryId, sha256) is null)
            return NoPhoto;
        if (!deliveries.Pieces(deliveryId).Any(p => p.Number == place.PieceNumber))
            return RefusalCatalog.PieceUnknown.Because($"This delivery has no piece {place.PieceNumber}.", "Check the number.");
        if (place.StationMm is { } station && !(station is >= 0 and < 100_000))
            return RefusalCatalog.StationUnfit.Because("A station is 0 mm or more from end A.");
        return await photos.Assign(deliveryId, sha256, place, who, time.GetUtcNow(), enqueue) ? photos.Find(deliveryId, sha256)! : AtWork;
    }

    /// <summary>Has a photo that was set aside tried again.</summary>
    public async Task<Outcome<DeliveryPhoto>> Retry(string deliveryId, string sha256, string who)
    {
        if (photos.Find(deliveryId, sha256) is null)
            return NoPhoto;
        return await photos.Retry(deliveryId, sha256, who, time.GetUtcNow(), enqueue)
            ? photos.Find(deliveryId, sha256)!
            : RefusalCatalog.PhotoNotSetAside.Because("The photo is not set aside.");
    }

    public void Dispose() => _uploads.Dispose();

    private StoredDelivery? FindEntered(IdempotencyKey key, out bool sameContent) =>
        deliveries.FindByKey(key, out sameContent) is { } first ? deliveries.Find(first) : null;

    private ReceivedJob? FindReceived(IdempotencyKey key, out bool sameContent) =>
        deliveries.FindByKey(key, out sameContent) is { } first && photos.FindJob(first) is { } job ? new ReceivedJob(job, []) : null;

    private static string NewId(DateTimeOffset now) => Guid.CreateVersion7(now).ToString("N");
}

/// <summary>An upload that was taken.</summary>
internal sealed record ReceivedJob(StoredJob Job, IReadOnlyList<Warning> Warnings);
