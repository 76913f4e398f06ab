using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Service.Http;
using GrainVision.Service.RuleBooks;
using GrainVision.Service.Storage;

namespace GrainVision.Service.Measurements;

/// <summary>One photo from reception to record: known already, judged by which book, measured, kept.</summary>
internal sealed class MeasurementService(
    RuleBookCatalog books, RuleUnitDefaults ruleUnit, MeasuringWorkers workers, MeasurementStore store, ContentStores stores, TimeProvider time, ILogger<MeasurementService> log)
{
    /// <summary>There is no measurement of that id.</summary>
    public static Refusal Unknown { get; } = RefusalCatalog.MeasurementUnknown.Because("There is no measurement of that id.");

    /// <summary>The measurement as it was answered.</summary>
    public Outcome<StoredMeasurement> Find(string id) => store.Find(id) is { } found ? found : Unknown;

    /// <summary>Measures and records; a repeat of a recorded request gets the first answer.</summary>
    /// <param name="order">What was sent.</param>
    /// <param name="sent">The caller and the key, if any.</param>
    /// <param name="callerGone">The caller hung up.</param>
    public async Task<Outcome<StoredMeasurement>> Measure(MeasuringOrder order, SentKey sent, CancellationToken callerGone)
    {
        var key = sent.Over(LogHash.Compute(order.Photo.Span), order.RequestJson);
        if (FirstAnswer(key) is { } first)
            return first;
        // After the key was looked up: the same request gets its first answer, whatever the shop has set since.
        order = ruleUnit.Tell(order);
        RuleBook? book = null;
        if (order.Request.RuleBook is { } id && !books.Books.Find(id).TryGet(out book, out var noBook))
            return noBook;

        var started = time.GetTimestamp();
        var outcome = await workers.Run(stop => PhotoJob.Run(order.Photo, order.Request, book, stop), callerGone);
        log.LogInformation(
            "{View} photo of {Bytes} bytes: {Outcome} in {Ms:F0} ms", order.Request.View, order.Photo.Length,
            outcome.Refusal?.Code ?? outcome.Found?.Measurement.Verdict?.Outcome.ToString() ?? "measured", time.GetElapsedTime(started).TotalMilliseconds);
        return outcome.TryGet(out var measured, out var refusal) ? Keep(order, measured, key, new Recording(sent.Client, PresentVersions.Current)) : refusal;
    }

    /// <summary>What was recorded for this key already; null where nothing was.</summary>
    public Outcome<StoredMeasurement>? FirstAnswer(IdempotencyKey? key) => IdempotencyKeys.FirstAnswer<StoredMeasurement>(key, store.FindByKey);

    /// <summary>Records what was measured; where the key was taken meanwhile, gives the first answer.</summary>
    public Outcome<StoredMeasurement> Keep(MeasuringOrder order, MeasuredPhoto measured, IdempotencyKey? key, Recording recording)
    {
        var now = time.GetUtcNow();
        var id = Guid.CreateVersion7(now).ToString("N");
        var measurement = measured.Measurement with { Id = id, Picture = $"/v1/measurements/{id}/picture" };
        // Files first, then the row that names them: a crash in between leaves a spare file, never a row without its photo.
        var photo = stores.Photos.Put(order.Photo.Span);
        var picture = stores.Pictures.Put(measured.PictureBytes);
        var stored = new StoredMeasurement(
            id, now, photo, picture, measured.PictureContentType, order.RequestJson, JsonSerializer.Serialize(measurement, ContractJson.Options));
        return store.TryAdd(stored, key, recording) ? stored : IdempotencyKeys.AnswerOfTheOther<StoredMeasurement>(key, store.FindByKey);
    }
}
