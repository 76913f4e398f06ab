using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;
using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Records.Deliveries;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Service.Http;
using GrainVision.Service.Measurements;
using GrainVision.Service.Storage;

namespace GrainVision.Service.Jobs;

/// <summary>A photo of a delivery as it is to be measured.</summary>
/// <param name="Photo">With its place.</param>
/// <param name="Piece">The piece it shows.</param>
/// <param name="Order">What is asked of it.</param>
/// <param name="Key">Makes the step harmless to repeat: a process that died between the two records finds its measurement again.</param>
internal sealed record PieceTask(DeliveryPhoto Photo, Piece Piece, MeasuringOrder Order, IdempotencyKey Key);

/// <summary>Measures photos of deliveries where they were placed, and records what came of it.</summary>
internal sealed class PhotoMeasuring(
    PhotoProgress progress, DeliveryStore deliveries, MeasurementService measurements, RuleUnitDefaults ruleUnit, MeasuringWorkers workers, ContentStores stores, Enqueue enqueue)
{
    /// <returns>Why it could not be measured; null where it was.</returns>
    public async Task<StepFailure?> Run(PhotoInWork begun, CancellationToken stop)
    {
        var photo = begun.Photo;
        if (stores.Photos.Read(photo.Sha256) is not { } bytes)
            return StepFailure.Lost;
        var task = Prepare(photo, bytes, begun.RingAngleDegrees);
        return measurements.FirstAnswer(task.Key) is { } recorded
            ? await Finish(task, recorded)
            : await Record(task, await workers.RunInBackground(late => Measure(task, late), stop));
    }

    /// <summary>What is to be measured, from the photo's row, its piece and its delivery.</summary>
    public PieceTask Prepare(DeliveryPhoto photo, byte[] bytes, double? ringAngleDegrees)
    {
        var piece = deliveries.Pieces(photo.DeliveryId).First(p => p.Number == photo.Place!.PieceNumber);
        var delivery = deliveries.Find(photo.DeliveryId)!;
        var request = new MeasuringRequest
        {
            View = photo.Place!.View,
            Species = piece.Species ?? delivery.Delivery.Species,
            Scale = delivery.ScaleJson is { } scale ? JsonSerializer.Deserialize<ScaleRequest>(scale, ContractJson.Options) : new AutoScale(),
            RingAngleDegrees = ringAngleDegrees,
        };
        // Told before the key is made, so that a photo tried again under another setting is measured again.
        var order = ruleUnit.Tell(new MeasuringOrder(bytes, request, JsonSerializer.Serialize(request, ContractJson.Options)));
        var what = $"{photo.Sha256} {piece.Id} {order.RequestJson} {PipelineVersion.Current}";
        var text = $"scan-{photo.DeliveryId}-{Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(what)))}";
        return new PieceTask(photo, piece, order, new SentKey(photo.SentBy, text).Over(LogHash.Compute(bytes), order.RequestJson)!);
    }

    /// <summary>Records a measurement; gives why there is none.</summary>
    public async Task<StepFailure?> Record(PieceTask task, Outcome<MeasuredPhoto> outcome)
    {
        var recording = new Recording(task.Photo.SentBy, PresentVersions.Current) { Delivery = task.Photo.DeliveryId, Piece = task.Piece.Id };
        return outcome.TryGet(out var measured, out var refusal)
            ? await Finish(task, measurements.Keep(task.Order, measured, task.Key, recording))
            : StepFailure.From(refusal);
    }

    private async Task<StepFailure?> Finish(PieceTask task, Outcome<StoredMeasurement> outcome)
    {
        if (!outcome.TryGet(out var stored, out var refusal))
            return StepFailure.From(refusal);
        var angle = JsonSerializer.Deserialize<Measurement>(stored.MeasurementJson, ContractJson.Options)!.RingAngle?.Degrees;
        await progress.Measured(task.Photo, task.Photo.Place!, stored.Id, angle is { } a ? (a.Low, a.High) : null, task.Order.Request.RingAngleDegrees, enqueue);
        return null;
    }

    private static Outcome<MeasuredPhoto> Measure(PieceTask task, CancellationToken late)
    {
        var known = task.Photo.CardsJson is { } json ? JsonSerializer.Deserialize<CardFindings>(json, ContractJson.Options) : null;
        if (!PhotoInHand.Open(task.Order.Photo, IntakeLimits.Default, late, known).TryGet(out var inHand, out var refusal))
            return refusal;
        using (inHand)
            return PhotoJob.Run(inHand, task.Order.Request, null, late);
    }
}
