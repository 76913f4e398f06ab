namespace GrainVision.Service.Measurements;

/// <summary>Places to work at. One that becomes free goes to whoever has waited longest, callers before work that nobody waits for.</summary>
internal sealed class WorkPlaces(int places)
{
    private readonly Lock _changing = new();
    private readonly LinkedList<TaskCompletionSource> _callers = new();
    private readonly LinkedList<TaskCompletionSource> _background = new();
    private int _free = places;

    /// <exception cref="OperationCanceledException"><paramref name="cancel"/> was asked for; no place is held then.</exception>
    public async Task Enter(bool inBackground, CancellationToken cancel)
    {
        var line = inBackground ? _background : _callers;
        LinkedListNode<TaskCompletionSource> waiting;
        lock (_changing)
        {
            cancel.ThrowIfCancellationRequested();
            if (_free > 0) // then nobody waits
            {
                _free--;
                return;
            }

            waiting = line.AddLast(new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously));
        }

        try
        {
            await waiting.Value.Task.WaitAsync(cancel);
        }
        catch (OperationCanceledException)
        {
            bool given;
            lock (_changing)
            {
                given = waiting.List is null;
                if (!given)
                    line.Remove(waiting);
            }

            if (given) // at the same moment
                Leave();
            throw;
        }
    }

    public void Leave()
    {
        lock (_changing)
        {
            var line = _callers.Count > 0 ? _callers : _background;
            if (line.First is { } next)
            {
                line.Remove(next);
                next.Value.SetResult();
            }
            else
            {
                _free++;
            }
        }
    }
}
