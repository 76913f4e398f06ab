using Dapper;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Log;
using GrainVision.Records.Opening;
using GrainVision.Records.Photos;
using GrainVision.Records.Verification;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Backups;

/// <summary>Records rebuilt from a log.</summary>
/// <param name="Folder">Where they lie.</param>
/// <param name="Verified">What verifying them found: they are whole.</param>
/// <param name="Original">What verifying the records they were made from found: whole means that their tables were the same.</param>
public sealed record RebuildReport(string Folder, LogVerification Verified, LogVerification Original);

/// <summary>Makes a data folder anew whose tables hold what the log of another says, and nothing else. The other folder is only read.</summary>
public static class Rebuild
{
    private const string Database = "records.sqlite";

    /// <summary>The database as it was, while the new one is made; gone after.</summary>
    private const string Before = "before.sqlite";

    /// <summary>Makes the folder. It appears under its name whole and verified, or not at all.</summary>
    /// <param name="data">A data folder; its service may run.</param>
    /// <param name="target">Folder to make; it may not be there yet.</param>
    /// <param name="cancel">Looked at between files and entries.</param>
    public static Outcome<RebuildReport> Make(string data, string target, CancellationToken cancel)
    {
        (data, target) = (Path.GetFullPath(data), Path.TrimEndingDirectorySeparator(Path.GetFullPath(target)));
        if (!File.Exists(Path.Combine(data, Database)))
            return RefusalCatalog.RecordsMissing.Because($"There are no records in {data}.");
        if (Directory.Exists(target) || File.Exists(target))
            return RefusalCatalog.TargetThere.Because($"{target} is there already.");
        var partial = target + ".partial";
        if (Directory.Exists(partial))
            Directory.Delete(partial, recursive: true); // an earlier try that was cut off
        try
        {
            FolderCopy.Copy(data, partial, hardLinks: false, cancel);
            if (!Build(partial, cancel).TryGet(out var found, out var refusal))
                return refusal;
            Directory.Move(partial, target);
            return new RebuildReport(target, found.Verified, found.Original);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or SqliteException or InvalidDataException)
        {
            return RefusalCatalog.CopyFailed.Because($"The rebuild failed: {e.Message}");
        }
        finally
        {
            SqliteConnection.ClearAllPools(); // or the files stay open
            if (Directory.Exists(partial))
                Directory.Delete(partial, recursive: true);
        }
    }

    private static Outcome<RebuildReport> Build(string folder, CancellationToken cancel)
    {
        var (before, rebuilt) = (Path.Combine(folder, Before), Path.Combine(folder, Database));
        File.Move(rebuilt, before);
        var photos = new PhotoFolder(folder);
        var original = DatabaseVerifier.Verify(RecordsOpener.Open(before), null, photos.Problem, cancel); // opening brings an older schema up to date
        if (original.Problem is { Table: null } bad)
            return RefusalCatalog.RecordsNotWhole.Because($"The log itself is not whole at entry {bad.Number}, so nothing can be made from it: {bad.What}");
        SqliteConnection.ClearAllPools();
        var database = RecordsOpener.Open(rebuilt);
        RebuiltTables.Fill(database, before, cancel);
        var verified = DatabaseVerifier.Verify(database, null, photos.Problem, cancel);
        SqliteConnection.ClearAllPools();
        if (verified.Problem is { } problem)
            return RefusalCatalog.RecordsNotWhole.Because($"The rebuilt records are not whole at entry {problem.Number}: {problem.What}");
        using (var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = rebuilt, Pooling = false }.ToString()))
        {
            connection.Open();
            connection.Execute("PRAGMA journal_mode=DELETE;"); // one file
        }

        foreach (var file in Directory.EnumerateFiles(folder, Before + "*"))
            File.Delete(file);
        return new RebuildReport(folder, verified, original);
    }
}
