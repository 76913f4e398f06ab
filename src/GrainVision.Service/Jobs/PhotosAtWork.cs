using GrainVision.Service.Measurements;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Jobs;

/// <summary>
/// Which photos of deliveries this process works on: one photo once at a time, as many as there are workers, and a photo under suspicion alone. It had
/// been in hand when the process died; alone it shows whether it was the reason.
/// </summary>
internal sealed class PhotosAtWork(IOptions<WorkOptions> options) : IDisposable
{
    private readonly int _most = options.Value.EffectiveWorkers;
    private readonly SemaphoreSlim _places = new(options.Value.EffectiveWorkers);
    private readonly SemaphoreSlim _turn = new(1);
    private readonly Lock _changing = new();
    private readonly Dictionary<(string DeliveryId, string Sha256), TaskCompletionSource> _inHand = [];

    /// <summary>Waits until nobody works on the photo and there is a place, or all of them; what is given back frees both when it is disposed.</summary>
    /// <exception cref="OperationCanceledException"><paramref name="stop"/> was asked for.</exception>
    public async Task<IDisposable> Enter(string deliveryId, string sha256, bool alone, CancellationToken stop)
    {
        var photo = (deliveryId, sha256);
        var left = await TakePhoto(photo, stop);
        var held = 0;
        try
        {
            // Whoever waits for all places lets nobody past, else it would wait for ever.
            await _turn.WaitAsync(stop);
            try
            {
                for (var needed = alone ? _most : 1; held < needed; held++)
                    await _places.WaitAsync(stop);
            }
            finally
            {
                _turn.Release();
            }
        }
        catch
        {
            Leave(photo, left, held);
            throw;
        }

        return new Stay(() => Leave(photo, left, held));
    }

    public void Dispose()
    {
        _places.Dispose();
        _turn.Dispose();
    }

    private async Task<TaskCompletionSource> TakePhoto((string, string) photo, CancellationToken stop)
    {
        var left = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        while (true)
        {
            TaskCompletionSource? other;
            lock (_changing)
            {
                if (_inHand.TryAdd(photo, left))
                    return left;
                other = _inHand[photo];
            }

            await other.Task.WaitAsync(stop);
        }
    }

    private void Leave((string, string) photo, TaskCompletionSource left, int held)
    {
        if (held > 0)
            _places.Release(held);
        lock (_changing)
            _inHand.Remove(photo);
        left.SetResult();
    }

    private sealed class Stay(Action leave) : IDisposable
    {
        public void Dispose() => leave();
    }
}
