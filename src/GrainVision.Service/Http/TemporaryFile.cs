namespace GrainVision.Service.Http;

/// <summary>Large answers are made on disk, not in memory: a delivery's report or audit pack may be hundreds of MB.</summary>
internal static class TemporaryFile
{
    /// <summary>80 KB: a write's worth, below what the runtime treats as a large object.</summary>
    private const int BufferBytes = 81_920;

    /// <summary>An empty file that goes with its stream; the caller, or the answer that it is given to, disposes it.</summary>
    public static FileStream Make() => new(
        Path.Combine(Path.GetTempPath(), $"grainvision-{Guid.NewGuid():N}.tmp"), FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None, BufferBytes,
        FileOptions.DeleteOnClose | FileOptions.Asynchronous);
}
