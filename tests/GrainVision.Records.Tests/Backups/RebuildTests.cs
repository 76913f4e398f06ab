using Dapper;
using GrainVision.Records.Backups;
using GrainVision.Records.Log;
using GrainVision.Records.Tests.Verification;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Tests.Backups;

/// <summary>A data folder made anew from its log holds the same rows; where somebody changed rows, it holds what the log says.</summary>
public sealed class RebuildTests : IAsyncLifetime, IDisposable
{
    /// <summary>Columns that are no facts: notes of the process at work, and when a schema step was applied.</summary>
    private static readonly string[] Notes = ["in_hand", "deaths", "Applied"];

    private readonly TemporaryRecords _records = new();

    private string Target => _records.Folder + "-rebuilt";

    public Task InitializeAsync() => WorkedRecords.Fill(_records);

    public Task DisposeAsync() => Task.CompletedTask;

    public void Dispose()
    {
        _records.Dispose();
        foreach (var folder in Directory.EnumerateDirectories(Path.GetDirectoryName(_records.Folder)!, Path.GetFileName(_records.Folder) + "*"))
            Directory.Delete(folder, recursive: true);
    }

    [Fact]
    public void Rebuilt_HoldsTheSameRowsInEveryTable()
    {
        var before = Rows(_records.File);
        var report = Rebuilt();
        Assert.True(report.Original.IsWhole, $"{report.Original.Problem}");
        Assert.Equal(report.Original, report.Verified);
        Assert.Equal(before, Rows(Path.Combine(Target, "records.sqlite")));
        Assert.Equal(["in-use.lock", "records.sqlite"], Directory.EnumerateFiles(Target).Select(Path.GetFileName).Append("in-use.lock").Distinct().Order());
    }

    [Fact]
    public void Rebuilt_FromChangedTables_HoldsWhatTheLogSays()
    {
        var before = Rows(_records.File);
        _records.Tamper(
            """
            UPDATE pieces SET piece_json = replace(piece_json, '14.5', '11.5');
            UPDATE rule_books SET rule_book_json = replace(rule_book_json, '1.25', '9.25');
            DELETE FROM decisions; DELETE FROM findings; DELETE FROM idempotency_keys; DELETE FROM delivery_photos;
            UPDATE log SET who = 'nobody' WHERE number = 2;
            INSERT INTO jobs VALUES ('job-9', 'delivery-1', '2026-07-04T12:00:00.0000000+00:00', 'other');
            """);
        var report = Rebuilt();
        Assert.Equal(1, report.Original.Problem!.Number);
        Assert.Equal(before, Rows(Path.Combine(Target, "records.sqlite")));
    }

    [Fact]
    public void Rebuilt_WhereAnswersWereLost_HoldsThemAsTheLogWritesThem()
    {
        _records.Tamper("UPDATE measurements SET measurement_json = '{}'");
        Rebuilt();
        using var connection = new SqliteConnection($"Data Source={Path.Combine(Target, "records.sqlite")};Pooling=False");
        Assert.Equal("""{"a":1.5,"b":7,"id":"m1"}""", connection.ExecuteScalar<string>("SELECT measurement_json FROM measurements WHERE id = 'm1'"));
    }

    [Fact]
    public void LogThatIsNotWhole_IsRefused()
    {
        _records.Tamper("UPDATE log SET content = replace(content, 'invented', 'other') WHERE number = 2");
        Assert.Equal("records-not-whole", Rebuild.Make(_records.Folder, Target, CancellationToken.None).Refusal?.Code);
        Assert.False(Directory.Exists(Target));
        Assert.False(Directory.Exists(Target + ".partial"));
    }

    [Fact]
    public void FolderThatIsThere_IsNotWrittenOver()
    {
        Directory.CreateDirectory(Target);
        Assert.Equal("target-there", Rebuild.Make(_records.Folder, Target, CancellationToken.None).Refusal?.Code);
        Assert.Equal("records-missing", Rebuild.Make(Target, Target + "2", CancellationToken.None).Refusal?.Code);
    }

    private RebuildReport Rebuilt()
    {
        Assert.True(Rebuild.Make(_records.Folder, Target, CancellationToken.None).TryGet(out var report, out var refusal), refusal?.Message);
        return report;
    }

    /// <summary>Every row of every table, JSON as it is canonically written.</summary>
    private static List<string> Rows(string file)
    {
        var rows = new List<string>();
        using var connection = new SqliteConnection($"Data Source={file};Pooling=False");
        foreach (var table in connection.Query<string>("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name;").ToList())
        {
            rows.AddRange(connection.Query($"SELECT * FROM \"{table}\";").Cast<IDictionary<string, object?>>()
                .Select(r => table + " " + string.Join(" | ", r.Where(c => !Notes.Contains(c.Key)).Select(c => Plain(c.Key, c.Value)))).Order(StringComparer.Ordinal));
        }

        return rows;
    }

    private static string Plain(string column, object? value) => column is "piece_json" or "delivery_json" or "rule_book_json" or "place_json" or "manifest_json" or "reason_json" && value is string json
        ? System.Text.Encoding.UTF8.GetString(CanonicalJson.From(json)) : $"{value}";
}
