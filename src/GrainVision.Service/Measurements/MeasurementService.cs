using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Service.Http;
using GrainVision.Service.RuleBooks;
using GrainVision.Service.Uploads;

namespace GrainVision.Service.Measurements;

/// <summary>One upload from reception to record: known already, judged by which book, measured, kept.</summary>
internal sealed class MeasurementService(
    RuleBookCatalog shelf, RuleUnitDefaults rules, MeasuringWorkers workers, MeasurementStore store, Vaults vaults, TimeProvider time, ILogger<MeasurementService> log)
{
    /// <summary>The key was used for something else.</summary>
    public static Refusal KeyReused { get; } = RefusalCatalog.IdempotencyKeyReused.Because("This Idempotency-Key was used for another photo or request.");

    /// <summary>Measures and records; a repeat of a recorded request gets the first answer.</summary>
    /// <param name="upload">What was sent.</param>
    /// <param name="client">Name of the caller.</param>
    /// <param name="keyText">Idempotency-Key header; null where none was sent.</param>
    /// <param name="callerGone">The caller hung up.</param>
    /// <param name="piece">The piece of a delivery that it is measured for; nobody waits for it then, and callers who do come first.</param>
    public async Task<Outcome<StoredMeasurement>> Measure(
        Upload upload, string client, string? keyText, CancellationToken callerGone, PieceWork? piece = null)
    {
        if (!IdempotencyKeys.Read(keyText, client, LogHash.Compute(upload.Photo.Span), upload.RequestJson).TryGet(out var sent, out var unfit))
            return unfit;
        var key = sent.Key;
        if (key is not null && Answered(key) is { } first)
            return first;
        // After the key was looked up: the same request gets its first answer, whatever the shop has set since.
        upload = rules.Tell(upload);
        RuleBook? book = null;
        if (upload.Request.RuleBook is { } id && !shelf.Books.Find(id).TryGet(out book, out var noBook))
            return noBook;

        var started = time.GetTimestamp();
        Outcome<MeasuredPhoto> Work(CancellationToken stop) => PhotoJob.Run(upload.Photo, upload.Request, book, stop);
        var outcome = piece is not null ? await workers.RunInBackground(Work, callerGone) : await workers.Run(Work, callerGone);
        log.LogInformation(
            "{View} photo of {Bytes} bytes: {Outcome} in {Ms:F0} ms", upload.Request.View, upload.Photo.Length,
            outcome.Refusal?.Code ?? outcome.Found?.Measurement.Verdict?.Outcome.ToString() ?? "measured", time.GetElapsedTime(started).TotalMilliseconds);
        return outcome.TryGet(out var measured, out var refusal) ? Keep(upload, measured, key, new Recording(client, PresentVersions.Current) { Delivery = piece?.DeliveryId, Piece = piece?.PieceId }) : refusal;
    }

    private Outcome<StoredMeasurement> Keep(Upload upload, MeasuredPhoto measured, IdempotencyKey? key, Recording recording)
    {
        var now = time.GetUtcNow();
        var id = Guid.CreateVersion7(now).ToString("N");
        var measurement = measured.Measurement with { Id = id, Picture = $"/v1/measurements/{id}/picture" };
        // Files first, then the row that names them: a crash in between leaves a spare file, never a row without its photo.
        var photo = vaults.Photos.Put(upload.Photo.Span);
        var picture = vaults.Pictures.Put(measured.PictureBytes);
        var stored = new StoredMeasurement(
            id, now, photo, picture, measured.PictureContentType, upload.RequestJson, JsonSerializer.Serialize(measurement, ContractJson.Options));
        if (store.TryAdd(stored, key, recording))
            return stored;
        // Two requests with one key ran side by side; the other one was first.
        return Answered(key!) ?? throw new InvalidOperationException("The key is taken, yet nothing was answered to it.");
    }

    private Outcome<StoredMeasurement>? Answered(IdempotencyKey key) => store.FindByKey(key, out var same) switch
    {
        null => null,
        var first when same => first,
        _ => KeyReused,
    };
}

/// <summary>What a delivery's photo is measured for.</summary>
internal sealed record PieceWork(string DeliveryId, string PieceId);
