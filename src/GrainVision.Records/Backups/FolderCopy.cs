using System.Diagnostics;
using System.Runtime.InteropServices;
using Dapper;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Backups;

/// <summary>Copies a data folder while others write to it: databases by SQLite's own backup, files of the stores as they are.</summary>
internal static partial class FolderCopy
{
    /// <summary>5: SQLITE_BUSY (sqlite.org/rescode.html).</summary>
    private const int Busy = 5;

    /// <summary>10 s: a transaction of the service takes a fraction of a second.</summary>
    private static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(10);

    private static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(50);

    private const string Incoming = "incoming";

    /// <summary>Databases first: every file that a row names was in its store before the row was (files are put first), so none can be missing.</summary>
    public static void Copy(string from, string to, bool hardLinks, CancellationToken cancel)
    {
        Directory.CreateDirectory(to);
        foreach (var database in Directory.EnumerateFiles(from, "*.sqlite"))
            CopyDatabase(database, Path.Combine(to, Path.GetFileName(database)));
        foreach (var file in Directory.EnumerateFiles(from, "*", SearchOption.AllDirectories))
        {
            cancel.ThrowIfCancellationRequested();
            var name = Path.GetRelativePath(from, file);
            // Half-received uploads, and what belongs to the databases or the running program.
            if (Path.GetDirectoryName(name) is not { Length: > 0 } folder || folder.Split(Path.DirectorySeparatorChar).Contains(Incoming))
                continue;
            Directory.CreateDirectory(Path.Combine(to, folder));
            if (!hardLinks || !TryLink(file, Path.Combine(to, name)))
                File.Copy(file, Path.Combine(to, name));
        }
    }

    private static void CopyDatabase(string from, string to)
    {
        using var source = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = from, Mode = SqliteOpenMode.ReadWrite, Pooling = false }.ToString());
        using var target = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = to, Pooling = false }.ToString());
        source.Open();
        target.Open();
        for (var since = Stopwatch.StartNew(); ;)
        {
            try
            {
                source.BackupDatabase(target);
                break;
            }
            catch (SqliteException e) when (e.SqliteErrorCode == Busy && since.Elapsed < LongestWait)
            {
                Thread.Sleep(Pause); // the copying itself does not wait for a writer as commands do
            }
        }

        // One file, as it was at one moment: no write-ahead log beside it.
        target.Execute("PRAGMA journal_mode=DELETE;");
    }

    /// <summary>False where the two folders lie on different disks, or links are not possible.</summary>
    private static bool TryLink(string from, string to) => OperatingSystem.IsLinux() && Link(from, to) == 0;

    [LibraryImport("libc", EntryPoint = "link", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static partial int Link(string from, string to);
}
