using GrainVision.Grading.Refusals;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Measurements;

/// <summary>
/// Bounded work: so many photos at once, so many waiting, the rest is turned away at once. A worker that overruns its deadline keeps
/// its place until it really ends, so a stuck photo can never let more run than there are places.
/// </summary>
public sealed class MeasuringWorkers(IOptions<WorkOptions> options, TimeProvider time)
{
    private readonly WorkPlaces _places = new(options.Value.EffectiveWorkers);
    private readonly int _most = options.Value.EffectiveWorkers + options.Value.Queue;
    private readonly TimeSpan _deadline = TimeSpan.FromSeconds(options.Value.DeadlineSeconds);
    private int _inside;
    private int _overdue;

    /// <summary>Turned away for want of a place.</summary>
    public static Refusal Busy { get; } = RefusalCatalog.Busy.Because("The service is measuring as many photos as it can.");

    private static Refusal Late { get; } = RefusalCatalog.DeadlineExceeded.Because("The photo took too long to measure.");

    /// <summary>True where a newcomer would be turned away now: worth knowing before a long upload.</summary>
    public bool IsFull => Volatile.Read(ref _inside) >= _most;

    /// <summary>Workers that overran their deadline and have not ended yet.</summary>
    public int Overdue => Volatile.Read(ref _overdue);

    /// <summary>False where every worker is stuck: only a restart helps.</summary>
    public bool IsAlive => Overdue < options.Value.EffectiveWorkers;

    /// <summary>Runs work on a worker, or refuses: <c>busy</c> (429) or <c>deadline-exceeded</c> (503). The deadline counts the waiting.</summary>
    /// <exception cref="OperationCanceledException">The caller went away.</exception>
    public async Task<Outcome<T>> Run<T>(Func<CancellationToken, Outcome<T>> work, CancellationToken callerGone)
        where T : class
    {
        if (Interlocked.Increment(ref _inside) > _most)
        {
            Interlocked.Decrement(ref _inside);
            return Busy;
        }

        return await Run(work, Deadline(callerGone), holdsPlace: false, () => Interlocked.Decrement(ref _inside), callerGone);
    }

    /// <summary>
    /// Runs work that nobody waits for, such as a delivery's photos: it takes a place only while no caller wants it, is never turned away,
    /// and its deadline counts from the start of the work.
    /// </summary>
    /// <exception cref="OperationCanceledException"><paramref name="stop"/> was asked for.</exception>
    public async Task<Outcome<T>> RunInBackground<T>(Func<CancellationToken, Outcome<T>> work, CancellationToken stop)
        where T : class
    {
        await _places.Enter(inBackground: true, stop);
        return await Run(work, Deadline(stop), holdsPlace: true, () => { }, stop);
    }

    private async Task<Outcome<T>> Run<T>(Func<CancellationToken, Outcome<T>> work, Limits limits, bool holdsPlace, Action left, CancellationToken callerGone)
        where T : class
    {
        var held = holdsPlace;
        Task<Outcome<T>>? running = null;
        try
        {
            if (!held)
                await _places.Enter(inBackground: false, limits.Stop.Token);
            held = true;
            running = Task.Run(() => work(limits.Stop.Token), CancellationToken.None);
            return await running.WaitAsync(limits.Stop.Token);
        }
        catch (OperationCanceledException) when (limits.Late.IsCancellationRequested && !callerGone.IsCancellationRequested)
        {
            return Late;
        }
        finally
        {
            if (running is { IsCompleted: false })
                LeaveWhenDone(running, limits, left);
            else
                Leave(held, limits, left);
        }
    }

    private Limits Deadline(CancellationToken callerGone)
    {
        var late = new CancellationTokenSource(_deadline, time);
        return new Limits(late, CancellationTokenSource.CreateLinkedTokenSource(callerGone, late.Token));
    }

    private void LeaveWhenDone(Task running, Limits limits, Action left)
    {
        Interlocked.Increment(ref _overdue);
        running.ContinueWith(
            done =>
            {
                _ = done.Exception; // observed: it was cancelled, and nobody waits for the answer any more
                Interlocked.Decrement(ref _overdue);
                Leave(held: true, limits, left);
            },
            TaskScheduler.Default);
    }

    private void Leave(bool held, Limits limits, Action left)
    {
        limits.Stop.Dispose();
        limits.Late.Dispose();
        if (held)
            _places.Leave();
        left();
    }

    /// <summary>When to stop: at the deadline, or then and when the caller is gone.</summary>
    private sealed record Limits(CancellationTokenSource Late, CancellationTokenSource Stop);
}
