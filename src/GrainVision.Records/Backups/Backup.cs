using System.Globalization;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Log;
using GrainVision.Records.Opening;
using GrainVision.Records.Photos;
using GrainVision.Records.Schema;
using GrainVision.Records.Verification;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Backups;

/// <summary>A backup made or put back.</summary>
/// <param name="Folder">Where it lies.</param>
/// <param name="Verified">What verifying the copy found.</param>
/// <param name="Before">Where the records that were in its place lie now; null where there were none.</param>
public sealed record BackupReport(string Folder, LogVerification Verified, string? Before);

/// <summary>Backs a data folder up while the service runs, and puts one back. Each copy is verified - chain and every photo - before it counts.</summary>
public static class Backup
{
    private const string Database = "records.sqlite";

    /// <summary>Makes a backup. It appears under its name whole and verified, or not at all.</summary>
    /// <param name="data">The service's data folder.</param>
    /// <param name="target">Folder to make; it may not be there yet.</param>
    /// <param name="hardLinks">True: photos on the same disk are linked, not copied: quick, but no help when the disk fails.</param>
    /// <param name="cancel">Looked at between files.</param>
    public static Outcome<BackupReport> Make(string data, string target, bool hardLinks, CancellationToken cancel)
    {
        (data, target) = (Path.GetFullPath(data), Path.TrimEndingDirectorySeparator(Path.GetFullPath(target)));
        if (!File.Exists(Path.Combine(data, Database)))
            return NoRecords(data);
        if (Directory.Exists(target) || File.Exists(target))
            return RefusalCatalog.TargetThere.Because($"{target} is there already.");
        return Copy(data, target, hardLinks, [], copied =>
        {
            Directory.Move(copied, target);
            return null;
        }, cancel);
    }

    /// <summary>Puts a backup in the place of a data folder, which is kept beside it. The service must not be running.</summary>
    /// <param name="backup">A folder that <see cref="Make"/> made.</param>
    /// <param name="data">The data folder; it may be missing.</param>
    /// <param name="checkpoints">Signed elsewhere: the backup must reach at least as far.</param>
    /// <param name="now">Names the folder that the present records are moved to.</param>
    /// <param name="cancel">Looked at between files.</param>
    public static Outcome<BackupReport> Restore(string backup, string data, IReadOnlyList<Checkpoint> checkpoints, DateTimeOffset now, CancellationToken cancel)
    {
        (backup, data) = (Path.GetFullPath(backup), Path.TrimEndingDirectorySeparator(Path.GetFullPath(data)));
        if (!File.Exists(Path.Combine(backup, Database)))
            return NoRecords(backup);
        var before = Directory.Exists(data) ? data + now.UtcDateTime.ToString("'.before-'yyyyMMdd'T'HHmmss'Z'", CultureInfo.InvariantCulture) : null;
        using var held = before is null ? null : FolderLock.TryTake(data);
        if (before is not null && held is null)
            return RefusalCatalog.ServiceRunning.Because("A service is using this data folder.");
        return Copy(backup, data, false, checkpoints, copied =>
        {
            if (before is not null)
                Directory.Move(data, before);
            Directory.Move(copied, data);
            return before;
        }, cancel);
    }

    private static Outcome<BackupReport> Copy(
        string from, string to, bool hardLinks, IReadOnlyList<Checkpoint> checkpoints, Func<string, string?> put, CancellationToken cancel)
    {
        var partial = to + ".partial";
        if (Directory.Exists(partial))
            Directory.Delete(partial, recursive: true); // an earlier try that was cut off
        try
        {
            FolderCopy.Copy(from, partial, hardLinks, cancel);
            var verified = DatabaseVerifier.Verify(RecordsOpener.Open(Path.Combine(partial, Database)), checkpoints, new PhotoFolder(partial).Problem, cancel);
            SqliteConnection.ClearAllPools(); // or the files stay open under their old name
            if (!verified.IsWhole)
            {
                return RefusalCatalog.RecordsNotWhole.Because($"The copy is not whole at entry {verified.Problem!.Number}: {verified.Problem.What}");
            }

            return new BackupReport(to, verified, put(partial));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or SqliteException or InvalidDataException)
        {
            return RefusalCatalog.CopyFailed.Because($"The copy failed: {e.Message}");
        }
        finally
        {
            if (Directory.Exists(partial))
                Directory.Delete(partial, recursive: true);
        }
    }

    private static Refusal NoRecords(string folder) => RefusalCatalog.RecordsMissing.Because($"There are no records in {folder}.");
}
