using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Deliveries;
using GrainVision.Records.Measurements;
using GrainVision.Service.Http;
using GrainVision.Service.Measurements;
using GrainVision.Service.RuleBooks;
using GrainVision.Service.Uploads;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Deliveries;

/// <summary>Takes deliveries and their photos in, and what a person says of a photo.</summary>
internal sealed class DeliveryService(
    RuleBookCatalog shelf, DeliveryStore deliveries, DeliveryPhotoStore photos, Vaults vaults, Enqueue enqueue, IOptions<DeliveryOptions> options, TimeProvider time) : IDisposable
{
    private readonly SemaphoreSlim _uploads = new(options.Value.Uploads);

    public static Refusal NoDelivery { get; } = RefusalCatalog.DeliveryUnknown.Because("There is no delivery of that id.");

    private static readonly Refusal NoPhoto = RefusalCatalog.PhotoUnknown.Because("The delivery has no photo of that SHA-256.");

    private static readonly Refusal AtWork = RefusalCatalog.PhotoAtWork.Because("The photo is being worked on just now.");

    /// <summary>Records a delivery; a repeat with the same key gives the first answer.</summary>
    public Outcome<StoredDelivery> Enter(DeliveryRequest request, string json, string who, string? keyText)
    {
        if (!IdempotencyKeys.Read(keyText, who, "delivery", json).TryGet(out var key, out var unfit))
            return unfit;
        if (key.Key is { } known && EnteredBefore(known) is { } before)
            return before;
        if (!request.Read(shelf.Books).TryGet(out var read, out var wrong))
            return wrong;
        var now = time.GetUtcNow();
        var id = NewId(now);
        var stored = new StoredDelivery(
            id, now, who, read with { Id = id }, request.Scale is null ? null : JsonSerializer.Serialize(request.Scale, ContractJson.Options));
        var pieces = request.Pieces.Select(p => p with { Id = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{id}-{p.Number}") });
        if (deliveries.TryAdd(stored, pieces, key.Key))
            return stored;
        // Two requests with one key ran side by side; the other one was first.
        return EnteredBefore(key.Key!) ?? throw new InvalidOperationException("The key is taken, yet nothing was answered to it.");
    }

    /// <summary>Receives photos and hands them to the job engine.</summary>
    public async Task<Outcome<ReceivedJob>> Receive(string deliveryId, HttpRequest http, string who, string? keyText, CancellationToken cancel)
    {
        if (deliveries.Find(deliveryId) is null)
            return NoDelivery;
        if (!IdempotencyKeys.Read(keyText, who).TryGet(out _, out var unfitKey))
            return unfitKey; // before gigabytes are read
        if (!await _uploads.WaitAsync(0, cancel))
            return MeasuringWorkers.Busy;
        try
        {
            using var received = new ReceivedPhotos(vaults.Photos, options.Value);
            if (await PhotosReader.Read(http, received, vaults.Photos, options.Value, cancel) is { } refusal)
                return refusal;
            if (!IdempotencyKeys.Read(keyText, who, ["photos", deliveryId, .. received.Content]).TryGet(out var key, out var unfit))
                return unfit;
            if (key.Key is { } known && ReceivedBefore(known) is { } before)
                return before;
            var now = time.GetUtcNow();
            var job = new StoredJob(NewId(now), deliveryId, now, who);
            var kept = received.Keep().Select(k => new ArrivedPhoto(k.Sha256, k.Name, k.ManifestPlace)).ToList();
            return await photos.TryAdd(job, kept, key.Key, enqueue)
                ? new ReceivedJob(job, received.Warnings)
                : ReceivedBefore(key.Key!) ?? throw new InvalidOperationException("The key is taken, yet nothing was answered to it.");
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
    public async Task<Outcome<DeliveryPhoto>> Retry(string deliveryId, string sha256)
    {
        if (photos.Find(deliveryId, sha256) is null)
            return NoPhoto;
        return await photos.Retry(deliveryId, sha256, enqueue)
            ? photos.Find(deliveryId, sha256)!
            : RefusalCatalog.PhotoNotSetAside.Because("The photo is not set aside.");
    }

    public void Dispose() => _uploads.Dispose();

    private Outcome<StoredDelivery>? EnteredBefore(IdempotencyKey key) => deliveries.FindByKey(key, out var same) switch
    {
        null => null,
        var first when same => deliveries.Find(first)!,
        _ => MeasurementService.KeyReused,
    };

    private Outcome<ReceivedJob>? ReceivedBefore(IdempotencyKey key) => deliveries.FindByKey(key, out var same) switch
    {
        null => null,
        var first when same => new ReceivedJob(photos.FindJob(first)!, []),
        _ => MeasurementService.KeyReused,
    };

    private static string NewId(DateTimeOffset now) => Guid.CreateVersion7(now).ToString("N");
}

/// <summary>An upload that was taken.</summary>
internal sealed record ReceivedJob(StoredJob Job, IReadOnlyList<Warning> Warnings);
