using System.ComponentModel.DataAnnotations;

namespace GrainVision.Service.Measurements;

/// <summary>How much work is taken on at once. Section <c>GrainVision:Work</c>.</summary>
public sealed class WorkOptions
{
    public const string Section = "GrainVision:Work";

    /// <summary>Photos measured at once. 0: one per core. Each may take 1 GB at 64 MP.</summary>
    [Range(0, 64)]
    public int Workers { get; init; }

    /// <summary>Photos that may wait for a worker. 8: at about a second each a phone still gets its answer in a few seconds.</summary>
    [Range(0, 1_000)]
    public int Queue { get; init; } = 8;

    /// <summary>Uploads received at once; each holds its photo in memory. 16: just below 1 GB of the largest photos that are taken.</summary>
    [Range(1, 1_000)]
    public int Uploads { get; init; } = 16;

    /// <summary>Seconds from the end of the upload to the answer, waiting included.</summary>
    [Range(1, 600)]
    public double DeadlineSeconds { get; init; } = 60;

    /// <summary>Seconds told to a caller who is turned away. 2: about what two workers need for one full queue of ordinary photos.</summary>
    [Range(1, 600)]
    public int RetryAfterSeconds { get; init; } = 2;

    internal int EffectiveWorkers => Workers > 0 ? Workers : Environment.ProcessorCount;
}
