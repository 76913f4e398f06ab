namespace GrainVision.Records.Schema;

/// <summary>Holds a data folder for one program: the service while it runs, a restore while it puts another in its place. A killed process lets go of it.</summary>
public sealed class FolderLock : IDisposable
{
    internal const string FileName = "in-use.lock";

    private readonly FileStream _held;

    private FolderLock(FileStream held) => _held = held;

    /// <summary>The lock, or null where another program holds the folder.</summary>
    public static FolderLock? TryTake(string folder)
    {
        Directory.CreateDirectory(folder);
        try
        {
            return new FolderLock(new FileStream(Path.Combine(folder, FileName), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None));
        }
        catch (IOException)
        {
            return null;
        }
    }

    public void Dispose() => _held.Dispose();
}
