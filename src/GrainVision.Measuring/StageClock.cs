using System.Diagnostics;

namespace GrainVision.Measuring;

/// <summary>Runs stages one by one: checks for cancellation before each, and times each. OpenCV calls themselves cannot be cancelled.</summary>
internal sealed class StageClock(CancellationToken cancel)
{
    private readonly Dictionary<string, double> _ms = [];

    /// <summary>Milliseconds by stage, in the order they ran.</summary>
    public IReadOnlyDictionary<string, double> TimingsMs => _ms;

    /// <summary>Asked for between steps of a stage that takes several.</summary>
    public CancellationToken Cancel => cancel;

    public void Run(string stage, Action work) => Run(stage, () =>
    {
        work();
        return true;
    });

    /// <summary>Notes a stage that ran before this clock was there.</summary>
    public void Note(string stage, TimeSpan took) => _ms[stage] = Math.Round(took.TotalMilliseconds, 1);

    public T Run<T>(string stage, Func<T> work)
    {
        cancel.ThrowIfCancellationRequested();
        var start = Stopwatch.GetTimestamp();
        var result = work();
        _ms[stage] = Math.Round(_ms.GetValueOrDefault(stage) + Stopwatch.GetElapsedTime(start).TotalMilliseconds, 1);
        return result;
    }
}
