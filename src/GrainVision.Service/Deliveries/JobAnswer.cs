using GrainVision.Grading.Findings;
using GrainVision.Records.Deliveries;

namespace GrainVision.Service.Deliveries;

/// <summary>Whether anything of a job is left to do.</summary>
internal enum JobState
{
    Running,
    Done,
}

/// <summary>How many photos of a job are where.</summary>
internal sealed record JobCounts(int Photos, int Waiting, int Working, int Measured, int Unsorted, int SetAside);

/// <summary>A job, as answered. Its failures are the photos that a person must look at, each with its reason.</summary>
internal sealed record JobAnswer(
    string Id, string Delivery, DateTimeOffset CreatedUtc, JobState State, JobCounts Counts, IReadOnlyList<PhotoAnswer> Failures, string Events)
{
    /// <summary>What the sender should know of the upload itself.</summary>
    public IReadOnlyList<Warning> Warnings { get; init; } = [];

    public static JobAnswer From(StoredJob job, IReadOnlyList<DeliveryPhoto> photos)
    {
        int Count(params PhotoState[] states) => photos.Count(p => states.Contains(p.State));
        var counts = new JobCounts(
            photos.Count, Count(PhotoState.Received, PhotoState.Waiting), Count(PhotoState.Sorting, PhotoState.Measuring), Count(PhotoState.Measured),
            Count(PhotoState.Unsorted), Count(PhotoState.SetAside));
        return new JobAnswer(
            job.Id, job.DeliveryId, job.CreatedUtc, counts.Waiting + counts.Working == 0 ? JobState.Done : JobState.Running, counts,
            [.. photos.Where(p => p.State is PhotoState.Unsorted or PhotoState.SetAside).Select(PhotoAnswer.From)], $"/v1/jobs/{job.Id}/events");
    }
}
