using Dapper;
using GrainVision.Records.Backups;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Opening;
using GrainVision.Records.Photos;
using GrainVision.Records.Verification;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Tests.Opening;

/// <summary>
/// Files of programs that counted the schema's steps in user_version, before the journal. The SQL of their steps, and one whole file with a log,
/// were taken from the last such program (fixtures/records).
/// </summary>
public sealed class OlderSchemaTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("grainvision-older-").FullName;

    private string DataFile => Path.Combine(_folder, "records.sqlite");

    public void Dispose()
    {
        SqliteConnection.ClearAllPools();
        foreach (var folder in Directory.EnumerateDirectories(Path.GetDirectoryName(_folder)!, Path.GetFileName(_folder) + "*"))
            Directory.Delete(folder, recursive: true);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void SchemaOfAnyAge_BecomesThePresentOne(int steps)
    {
        var sql = Enumerable.Range(1, steps).Select(n => File.ReadAllText(Fixtures.At($"records/schema-step-{n}.sql")));
        Make(string.Concat(sql) + $"PRAGMA user_version={steps};");
        RecordsOpener.Open(DataFile);
        using var whole = new TemporaryRecords();
        Assert.Equal(Schema(whole.File), Schema(DataFile));
        RecordsOpener.Open(DataFile); // and nothing is done twice
        Assert.Equal(Schema(whole.File), Schema(DataFile));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void MeasurementsFromBeforeTheLog_AreEnteredOnceWithANote(int steps)
    {
        var sql = Enumerable.Range(1, steps).Select(n => File.ReadAllText(Fixtures.At($"records/schema-step-{n}.sql")));
        Make(string.Concat(sql) + $$"""
            INSERT INTO measurements VALUES ('m1', '2026-01-02T03:04:05.0000000+00:00', '{{new string('a', 64)}}', '{{new string('b', 64)}}', 'image/jpeg', '{}', '{"id":"m1"}');
            INSERT INTO measurements VALUES ('m2', '2026-01-02T03:04:06.0000000+00:00', '{{new string('a', 64)}}', '{{new string('b', 64)}}', 'image/jpeg', '{}', '{"id":"m2"}');
            INSERT INTO rule_books VALUES ('rib', 1, '2026-01-02T03:04:04.0000000+00:00', 'office', '{"id":"rib","version":1}');
            PRAGMA user_version={{steps}};
            """);
        RecordsOpener.Open(DataFile);
        var database = RecordsOpener.Open(DataFile);
        var entries = new LogReader(database).Range(1, long.MaxValue).ToList();
        Assert.Equal(3, entries.Count);
        Assert.All(entries, e => Assert.Contains("before the log began", e.Content, StringComparison.Ordinal));
        var found = DatabaseVerifier.Verify(database, null, null, CancellationToken.None);
        Assert.True(found.IsWhole, found.Problem?.What);
    }

    [Fact]
    public void LogOfTheLastProgramWithoutAJournal_KeepsEveryByteAndGoesOn()
    {
        Make(File.ReadAllText(Fixtures.At("records/records-of-schema-4.sql")));
        var database = RecordsOpener.Open(DataFile);
        var older = File.ReadAllLines(Fixtures.At("records/log-of-schema-4.jsonl"));
        var entries = new LogReader(database).Range(1, long.MaxValue).ToList();
        Assert.Equal(older, entries.Take(older.Length).Select(e => e.ToLine()));
        // What that program kept beside its log: the rest of its delivery and rule book, its three keys. An entry a table, each with its reason.
        Assert.Equal(
            ["deliveries", "rule_books", "idempotency_keys", "delivery_keys", "decision_keys"],
            entries.Skip(older.Length).Select(e => System.Text.Json.Nodes.JsonNode.Parse(e.Content)!["body"]!.AsObject().Single().Key));
        Assert.All(entries.Skip(older.Length), e => Assert.Contains(EntryReasons.Inventory, e.Content, StringComparison.Ordinal));
        Assert.True(new MeasurementStore(database).TryAdd(
            new StoredMeasurement("n1", TemporaryRecords.Noon.AddDays(1), new string('a', 64), new string('b', 64), "image/jpeg", "{}", "{}"), null, new Recording("yard", EntryVersions.None)));
        var found = DatabaseVerifier.Verify(database, null, null, CancellationToken.None);
        Assert.True(found.IsWhole, found.Problem?.What);
        Assert.Equal(entries.Count + 1, found.Head);
    }

    /// <summary>What an older program's entries said is not taken from the rows at the upgrade: a row that was changed before it still differs.</summary>
    [Theory]
    [InlineData("UPDATE deliveries SET delivery_json = replace(delivery_json, 'mill', 'other mill');", "deliveries", "delivery_json")]
    [InlineData("UPDATE pieces SET piece_json = replace(piece_json, '6.25', '8.25');", "pieces", "piece_json")]
    [InlineData("DELETE FROM pieces;", "pieces", null)]
    [InlineData("DROP TRIGGER rule_books_are_not_edited; UPDATE rule_books SET rule_book_json = '{}';", "rule_books", "rule_book_json")]
    public void RowOfAnOlderProgramChangedBeforeTheUpgrade_IsNamed(string sql, string table, string? column)
    {
        Make(File.ReadAllText(Fixtures.At("records/records-of-schema-4.sql")) + sql);
        var problem = DatabaseVerifier.Verify(RecordsOpener.Open(DataFile), null, null, CancellationToken.None).Problem;
        Assert.Equal((table, column), (problem?.Table, problem?.Column));
    }

    /// <summary>What stood beside an older log is in it from the upgrade on: changed after, it differs.</summary>
    [Theory]
    [InlineData("UPDATE idempotency_keys SET measurement_id = 'm1'", "idempotency_keys", "measurement_id")]
    [InlineData("UPDATE deliveries SET created_utc = '2020-01-01T00:00:00.0000000+00:00'", "deliveries", "created_utc")]
    [InlineData("DELETE FROM delivery_keys", "delivery_keys", null)]
    public void RowOfAnOlderProgramChangedAfterTheUpgrade_IsNamed(string sql, string table, string? column)
    {
        Make(File.ReadAllText(Fixtures.At("records/records-of-schema-4.sql")));
        var database = RecordsOpener.Open(DataFile);
        Make(sql);
        var problem = DatabaseVerifier.Verify(database, null, null, CancellationToken.None).Problem;
        Assert.Equal((table, column), (problem?.Table, problem?.Column));
    }

    [Fact]
    public void BackupOfAnOlderProgram_IsPutBackAndBroughtUpToDate()
    {
        // Photos of this file's entries are not among the fixtures: a file with rows of the first schema and their photos stands in.
        var photo = new ContentAddressedStore(Path.Combine(_folder, "photos")).Put("photo"u8);
        var picture = new ContentAddressedStore(Path.Combine(_folder, "pictures")).Put("picture"u8);
        Make(File.ReadAllText(Fixtures.At("records/schema-step-1.sql")) + $$"""
            INSERT INTO measurements VALUES ('m1', '2026-01-02T03:04:05.0000000+00:00', '{{photo}}', '{{picture}}', 'image/jpeg', '{}', '{"id":"m1"}');
            PRAGMA user_version=1;
            """);
        var restored = Backup.Restore(_folder, _folder + "-put-back", [], TemporaryRecords.Noon, CancellationToken.None);
        Assert.True(restored.TryGet(out var report, out var refusal), refusal?.Message);
        Assert.Equal((1, 2), (report.Verified.Entries, report.Verified.Photos));
    }

    [Fact]
    public void StepThatThisProgramDoesNotKnow_IsNotTouched()
    {
        using (var connection = RecordsOpener.Open(DataFile).Connect())
            connection.Execute("INSERT INTO schema_steps (ScriptName, Applied) VALUES ('999-of-tomorrow', '2030-01-01');");
        Assert.Throws<InvalidDataException>(() => RecordsOpener.Open(DataFile));
    }

    [Fact]
    public async Task TwoProgramsThatUpgradeAtOnce_DoItOnce()
    {
        Make(File.ReadAllText(Fixtures.At("records/schema-step-1.sql")) + """
            INSERT INTO measurements VALUES ('m1', '2026-01-02T03:04:05.0000000+00:00', 'a', 'b', 'image/jpeg', '{}', '{"id":"m1"}');
            PRAGMA user_version=1;
            """);
        await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => Task.Run(() => RecordsOpener.Open(DataFile))));
        Assert.Equal(1, new LogReader(RecordsOpener.Open(DataFile)).Head()!.Number);
    }

    private void Make(string sql)
    {
        using var connection = new SqliteConnection($"Data Source={DataFile};Pooling=False");
        connection.Execute(sql);
    }

    /// <summary>Tables, columns, indexes and triggers as SQLite keeps them, and the steps applied.</summary>
    private static List<string> Schema(string file)
    {
        using var connection = new SqliteConnection($"Data Source={file};Pooling=False");
        return
        [
            .. connection.Query<string>("SELECT type || ' ' || name || ' ' || COALESCE(sql, '') FROM sqlite_master ORDER BY type, name;"),
            .. connection.Query<string>("SELECT ScriptName FROM schema_steps ORDER BY ScriptName;"),
            $"user_version {connection.ExecuteScalar<int>("PRAGMA user_version;")}",
        ];
    }
}
