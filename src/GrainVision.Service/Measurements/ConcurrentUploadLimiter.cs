using Microsoft.Extensions.Options;

namespace GrainVision.Service.Measurements;

/// <summary>Bounds how many uploads are held in memory at once.</summary>
public sealed class ConcurrentUploadLimiter(IOptions<WorkOptions> options)
{
    private int _inside;

    /// <summary>A pass to be disposed when the upload is no longer held, or null where there are too many.</summary>
    public IDisposable? TryEnter()
    {
        if (Interlocked.Increment(ref _inside) <= options.Value.Uploads)
            return new Pass(this);
        Interlocked.Decrement(ref _inside);
        return null;
    }

    private sealed class Pass(ConcurrentUploadLimiter gate) : IDisposable
    {
        private int _left;

        public void Dispose()
        {
            if (Interlocked.Exchange(ref _left, 1) == 0)
                Interlocked.Decrement(ref gate._inside);
        }
    }
}
