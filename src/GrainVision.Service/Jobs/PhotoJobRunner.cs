using System.Collections.Concurrent;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Deliveries;
using Microsoft.Data.Sqlite;

namespace GrainVision.Service.Jobs;

/// <summary>Does one step on one photo of a delivery and records how it ended.</summary>
internal sealed class PhotoJobRunner(
    PhotoProgress progress, DeliveryPhotoStore photos, PhotosAtWork atWork, PhotoSorting sorting, PhotoMeasuring measuring, Enqueue enqueue, IHostApplicationLifetime lifetime,
    ILogger<PhotoJobRunner> log)
{
    private static readonly PhotoProblem OurFault = new(
        RefusalCatalog.InternalError.Code, "The service failed on this photo; the fault is ours.", "Measure by hand, and tell whoever runs the service.");

    private static readonly PhotoProblem Lost = new(
        RefusalCatalog.PhotoLost.Code, "The photo's file is no longer in the store, or was changed.", "Send the photo again.");

    private readonly ConcurrentDictionary<string, bool> _queued = new(StringComparer.Ordinal);

    /// <summary>Does the step; returns at once where it is done already or cannot be done yet.</summary>
    /// <exception cref="SqliteException">The records could not be written: the job engine asks again.</exception>
    public async Task Run(PhotoStep step, CancellationToken cancel)
    {
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancel, lifetime.ApplicationStopping);
        if (photos.Find(step.DeliveryId, step.Sha256) is not { } photo)
            return;
        using var stay = await atWork.Enter(step.DeliveryId, step.Sha256, alone: photo.Deaths > 0, stop.Token);
        if (progress.Begin(step) is { } begun)
            await Do(begun, stop.Token);
        else if (photo is { State: PhotoState.SetAside, Deaths: >= PhotoProgress.MostDeaths })
            await progress.QueueReadyFaces(step.DeliveryId, enqueue);
    }

    /// <summary>Queues all that waits in a delivery, once in the life of this process.</summary>
    public async Task QueueAllOnce(string deliveryId)
    {
        if (!_queued.TryAdd(deliveryId, true))
            return;
        try
        {
            await progress.QueueAll(deliveryId, enqueue);
        }
        catch
        {
            _queued.TryRemove(deliveryId, out _);
            throw;
        }
    }

    private async Task Do(PhotoInWork begun, CancellationToken stop)
    {
        try
        {
            await (begun.Kind == PhotoStepKind.Sort ? sorting.Run(begun.Photo, stop) : measuring.Run(begun, stop));
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            await progress.BrokenOff(begun.Photo, enqueue);
        }
        catch (Exception e) when (e is not SqliteException)
        {
            // One bad photo must not stop the others, whatever it does to us.
            log.LogError(e, "Photo {Sha256} failed at step {Kind}", begun.Photo.Sha256, begun.Kind);
            await progress.Failed(begun.Photo, e is InvalidDataException ? Lost : OurFault, mayPass: true, enqueue);
        }
    }

    /// <summary>Why a photo was refused, as it stands in the photo's row.</summary>
    internal static PhotoProblem ProblemOf(Refusal refusal) => new(refusal.Code, refusal.Message, refusal.Advice);

    /// <summary>Sets a photo aside whose file is gone.</summary>
    internal static Task SetAsideLost(PhotoProgress progress, DeliveryPhoto photo, Enqueue enqueue) => progress.Failed(photo, Lost, mayPass: false, enqueue);
}
