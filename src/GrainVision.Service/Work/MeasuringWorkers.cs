using GrainVision.Grading.Refusals;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Work;

/// <summary>
/// Bounded work: so many photos at once, so many waiting, the rest is turned away at once. A worker that overruns its deadline keeps
/// its place until it really ends, so a stuck photo can never let more run than there are places.
/// </summary>
public sealed class MeasuringWorkers(IOptions<WorkOptions> options, TimeProvider time) : IDisposable
{
    private readonly SemaphoreSlim _places = new(options.Value.EffectiveWorkers);
    private readonly int _most = options.Value.EffectiveWorkers + options.Value.Queue;
    private readonly TimeSpan _deadline = TimeSpan.FromSeconds(options.Value.DeadlineSeconds);
    private int _inside;
    private int _overdue;

    /// <summary>Turned away for want of a place.</summary>
    public static Refusal Busy { get; } = new(
        "busy", "service", 429, "The service is measuring as many photos as it can.", "Try again after the seconds given in Retry-After.");

    private static Refusal Late { get; } = new(
        "deadline-exceeded", "service", 503, "The photo took too long to measure.", "Try again; if it fails again, send a smaller photo.");

    /// <summary>True where a newcomer would be turned away now: worth knowing before a long upload.</summary>
    public bool IsFull => Volatile.Read(ref _inside) >= _most;

    /// <summary>Workers that overran their deadline and have not ended yet.</summary>
    public int Overdue => Volatile.Read(ref _overdue);

    /// <summary>False where every worker is stuck: only a restart helps.</summary>
    public bool IsAlive => Overdue < options.Value.EffectiveWorkers;

    /// <summary>Runs work on a worker, or refuses: <c>busy</c> (429) or <c>deadline-exceeded</c> (503).</summary>
    /// <exception cref="OperationCanceledException">The caller went away.</exception>
    public async Task<Outcome<T>> Run<T>(Func<CancellationToken, Outcome<T>> work, CancellationToken callerGone)
        where T : class
    {
        if (Interlocked.Increment(ref _inside) > _most)
        {
            Interlocked.Decrement(ref _inside);
            return Busy;
        }

        var late = new CancellationTokenSource(_deadline, time);
        var stop = CancellationTokenSource.CreateLinkedTokenSource(callerGone, late.Token);
        Task<Outcome<T>>? running = null;
        try
        {
            await _places.WaitAsync(stop.Token);
            running = Task.Run(() => work(stop.Token), CancellationToken.None);
            return await running.WaitAsync(stop.Token);
        }
        catch (OperationCanceledException) when (late.IsCancellationRequested && !callerGone.IsCancellationRequested)
        {
            return Late;
        }
        finally
        {
            if (running is { IsCompleted: false })
                LeaveWhenDone(running, late, stop);
            else
                Leave(held: running is not null, late, stop);
        }
    }

    public void Dispose() => _places.Dispose();

    private void LeaveWhenDone(Task running, CancellationTokenSource late, CancellationTokenSource stop)
    {
        Interlocked.Increment(ref _overdue);
        running.ContinueWith(
            done =>
            {
                _ = done.Exception; // observed: it was cancelled, and nobody waits for the answer any more
                Interlocked.Decrement(ref _overdue);
                Leave(held: true, late, stop);
            },
            TaskScheduler.Default);
    }

    private void Leave(bool held, CancellationTokenSource late, CancellationTokenSource stop)
    {
        stop.Dispose();
        late.Dispose();
        if (held)
            _places.Release();
        Interlocked.Decrement(ref _inside);
    }
}
