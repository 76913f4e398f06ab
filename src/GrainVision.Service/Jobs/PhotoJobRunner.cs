using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Records.Deliveries;
using GrainVision.Records.Measurements;
using GrainVision.Service.Http;
using GrainVision.Service.Measurements;
using GrainVision.Service.Uploads;
using Microsoft.Data.Sqlite;

namespace GrainVision.Service.Jobs;

/// <summary>Works on the photos of deliveries, one step at a time: sorts a photo or measures it, and records how that ended.</summary>
internal sealed class PhotoJobRunner(
    PhotoWorkItems steps, DeliveryStore deliveries, MeasurementService desk, RuleUnitDefaults rules, MeasuringWorkers workers, Vaults vaults, Enqueue enqueue, IHostApplicationLifetime lifetime, TimeProvider time,
    ILogger<PhotoJobRunner> log)
{
    /// <summary>50 ms: how long a step waits for another photo before it asks again.</summary>
    private static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(50);

    /// <summary>5 s: a full or stuck disk does not mend in milliseconds.</summary>
    private static readonly TimeSpan RecordsPause = TimeSpan.FromSeconds(5);

    /// <summary>No piece card in the picture, or one that cannot be read: name and manifest have their say.</summary>
    private static readonly RefusalKind[] SaysNothing = [RefusalCatalog.PieceCardNotFound, RefusalCatalog.PieceCardNotReadable];

    private static readonly PhotoProblem OurFault = new(
        RefusalCatalog.InternalError.Code, "The service failed on this photo; the fault is ours.", "Measure by hand, and tell whoever runs the service.");

    private static readonly PhotoProblem Lost = new(
        RefusalCatalog.PhotoLost.Code, "The photo's file is no longer in the vault, or was changed.", "Send the photo again.");

    /// <summary>Takes the delivery's next step, whichever that is; returns when it is done or nothing waits.</summary>
    public async Task TakeStep(string deliveryId, CancellationToken cancel)
    {
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancel, lifetime.ApplicationStopping);
        Claim claim;
        while ((claim = steps.Next(deliveryId)).Kind == ClaimKind.Later)
            await Task.Delay(Pause, time, stop.Token);
        if (claim.Photo is not { } photo)
            return;
        try
        {
            await (claim.Kind == ClaimKind.Sort ? Sort(photo, stop.Token) : Measure(claim, photo, stop.Token));
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            await steps.BrokenOff(photo, enqueue);
        }
        catch (SqliteException e)
        {
            log.LogError(e, "The records could not be written while photo {Sha256} was in hand", photo.Sha256);
            await PutBack(photo, stop.Token);
        }
        catch (Exception e)
        {
            // One bad photo must not stop the others, whatever it does to us.
            log.LogError(e, "Photo {Sha256} failed while {State}", photo.Sha256, claim.Kind);
            await steps.Failed(photo, e is InvalidDataException ? Lost : OurFault, mayPass: true, enqueue);
        }
    }

    /// <summary>Gives the photo back as soon as the records can be written: left claimed, it would hold up its delivery until the next start.</summary>
    private async Task PutBack(DeliveryPhoto photo, CancellationToken stop)
    {
        while (true)
        {
            try
            {
                await steps.BrokenOff(photo, enqueue);
                return;
            }
            catch (SqliteException)
            {
                await Task.Delay(RecordsPause, time, stop);
            }
        }
    }

    private async Task Sort(DeliveryPhoto photo, CancellationToken stop)
    {
        if (vaults.Photos.Read(photo.Sha256) is not { } bytes)
        {
            await steps.Failed(photo, Lost, mayPass: false, enqueue);
            return;
        }

        var card = await workers.RunInBackground(late => PieceCardReader.Find(bytes, IntakeLimits.Default, late), stop);
        if (card.Refusal is { } disagree && disagree.Kind == RefusalCatalog.PieceCardsDisagree)
            steps.Unsorted(photo, ProblemOf(disagree));
        else if (card.Refusal is { } refusal && !SaysNothing.Contains(refusal.Kind))
            await steps.Failed(photo, ProblemOf(refusal), mayPass: refusal.OurFault, enqueue);
        else
            await Sort(photo, card.Found);
    }

    private async Task Sort(DeliveryPhoto photo, PieceCard? card)
    {
        var numbers = deliveries.Pieces(photo.DeliveryId).Select(p => p.Number).ToHashSet();
        if (PhotoSorter.Sort(photo.FileName, card, photo.ManifestPlace, numbers).TryGet(out var sorted, out var unsorted))
            await steps.Sorted(photo, sorted.Place, sorted.By, time.GetUtcNow(), enqueue);
        else
            steps.Unsorted(photo, ProblemOf(unsorted));
    }

    private async Task Measure(Claim claim, DeliveryPhoto photo, CancellationToken stop)
    {
        if (vaults.Photos.Read(photo.Sha256) is not { } bytes)
        {
            await steps.Failed(photo, Lost, mayPass: false, enqueue);
            return;
        }

        var piece = deliveries.Pieces(photo.DeliveryId).First(p => p.Number == photo.Place!.PieceNumber);
        var upload = Upload(claim, photo, piece, bytes);
        // The key makes the step harmless to repeat: a process that died between the two records finds its measurement again.
        if ((await desk.Measure(upload, photo.SentBy, KeyOf(photo, piece, upload), stop, new PieceWork(photo.DeliveryId, piece.Id))).TryGet(out var stored, out var refusal))
            await steps.Measured(claim, stored.Id, RingAngleOf(stored), enqueue);
        else
            await steps.Failed(photo, ProblemOf(refusal), mayPass: refusal.OurFault, enqueue);
    }

    private Upload Upload(Claim claim, DeliveryPhoto photo, Piece piece, byte[] bytes)
    {
        var delivery = deliveries.Find(photo.DeliveryId)!;
        var request = new MeasuringRequest
        {
            View = photo.Place!.View,
            Species = piece.Species ?? delivery.Delivery.Species,
            Scale = delivery.ScaleJson is { } scale ? JsonSerializer.Deserialize<ScaleRequest>(scale, ContractJson.Options) : new AutoScale(),
            RingAngleDegrees = claim.RingAngleDegrees,
        };
        // Told here already, so that a photo tried again under another setting is measured again.
        return rules.Tell(new Upload(bytes, request, JsonSerializer.Serialize(request, ContractJson.Options)));
    }

    private static (double Low, double High)? RingAngleOf(StoredMeasurement stored) =>
        JsonSerializer.Deserialize<Measurement>(stored.MeasurementJson, ContractJson.Options)!.RingAngle is { } angle ? (angle.Degrees.Low, angle.Degrees.High) : null;

    private static string KeyOf(DeliveryPhoto photo, Piece piece, Upload upload)
    {
        var work = $"{photo.Sha256} {piece.Id} {upload.RequestJson} {PipelineVersion.Current}";
        return $"scan-{photo.DeliveryId}-{Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(work)))}";
    }

    private static PhotoProblem ProblemOf(Refusal refusal) => new(refusal.Code, refusal.Message, refusal.Advice);
}
