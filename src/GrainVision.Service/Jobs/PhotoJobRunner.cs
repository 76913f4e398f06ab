using System.Collections.Concurrent;
using GrainVision.Records.Deliveries;
using Microsoft.Data.Sqlite;

namespace GrainVision.Service.Jobs;

/// <summary>Does one step on one photo of a delivery and records how it ended.</summary>
internal sealed class PhotoJobRunner(
    PhotoProgress progress, DeliveryPhotoStore photos, PhotosAtWork atWork, PhotoSorting sorting, PhotoMeasuring measuring, Enqueue enqueue, IHostApplicationLifetime lifetime,
    ILogger<PhotoJobRunner> log)
{
    /// <summary>2: a step that failed twice is not tried again.</summary>
    public const int MostAttempts = 2;

    private readonly ConcurrentDictionary<string, bool> _queued = new(StringComparer.Ordinal);

    /// <summary>Does the step; returns at once where it is done already or cannot be done yet.</summary>
    /// <param name="step">The step.</param>
    /// <param name="attempt">How often the job engine has brought this step, from 1 on.</param>
    /// <param name="cancel">The job engine stops.</param>
    /// <exception cref="SqliteException">The records could not be written: the job engine brings the step again.</exception>
    /// <exception cref="StepFailedException">The step failed, and another try may help: the job engine brings it again.</exception>
    public async Task Run(PhotoStep step, int attempt, CancellationToken cancel)
    {
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancel, lifetime.ApplicationStopping);
        if (photos.Find(step.DeliveryId, step.Sha256) is not { } photo)
            return;
        using var stay = await atWork.Enter(step.DeliveryId, step.Sha256, alone: photo.Deaths > 0, stop.Token);
        if (progress.Begin(step) is { } begun)
            await Do(begun, step, attempt, stop.Token);
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

    private async Task Do(PhotoInWork begun, PhotoStep step, int attempt, CancellationToken stop)
    {
        StepFailure? failure;
        Exception? thrown = null;
        try
        {
            failure = await (begun.Kind == PhotoStepKind.Sort ? sorting.Run(begun.Photo, stop) : measuring.Run(begun, stop));
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            await progress.BrokenOff(begun.Photo, enqueue);
            return;
        }
        catch (Exception e) when (e is not SqliteException)
        {
            // One bad photo must not stop the others, whatever it does to us.
            log.LogError(e, "Photo {Sha256} failed at step {Kind}", begun.Photo.Sha256, begun.Kind);
            (failure, thrown) = (e is InvalidDataException ? StepFailure.Damaged : StepFailure.Ours, e);
        }

        if (failure is { MayPass: true } && attempt < MostAttempts)
        {
            progress.PutDown(begun.Photo);
            throw new StepFailedException(step, failure, thrown);
        }

        if (failure is not null)
            await progress.SetAside(begun.Photo, failure.Problem, enqueue);
    }
}
