using System.Runtime.InteropServices;

namespace GrainVision.Records.Photos;

/// <summary>
/// Forces a folder's entries to disk. Renaming a file is only safe against a power cut once its folder is flushed too
/// (fsync(2), "Calling fsync() does not necessarily ensure that the entry in the directory has also reached disk").
/// </summary>
internal static partial class FolderSync
{
    private const int ReadOnlyFolder = 0;

    public static void Flush(string folder)
    {
        if (!OperatingSystem.IsLinux())
            return; // NTFS journals renames
        var handle = Open(folder, ReadOnlyFolder);
        if (handle < 0)
            throw new IOException($"The folder cannot be opened for flushing (error {Marshal.GetLastPInvokeError()}).");
        try
        {
            if (Sync(handle) != 0)
                throw new IOException($"The folder cannot be flushed to disk (error {Marshal.GetLastPInvokeError()}).");
        }
        finally
        {
            _ = Close(handle);
        }
    }

    [LibraryImport("libc", EntryPoint = "open", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static partial int Open(string path, int flags);

    [LibraryImport("libc", EntryPoint = "fsync", SetLastError = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static partial int Sync(int handle);

    [LibraryImport("libc", EntryPoint = "close", SetLastError = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static partial int Close(int handle);
}
