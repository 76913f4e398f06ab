using System.Text.Json;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Opening;
using GrainVision.Records.RuleBooks;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Tests.Log;

public sealed class LogWriterTests : IDisposable
{
    private readonly TemporaryRecords _records = new();

    public void Dispose() => _records.Dispose();

    [Fact]
    public void Append_RolledBack_LeavesNothingAndNoGap()
    {
        using (var connection = _records.Database.Connect())
        using (var transaction = connection.BeginTransaction(deferred: false))
            LogWriter.Append(transaction, Draft("lost"));
        Assert.Null(_records.Log().Head());
        Append(Draft("kept"));
        Assert.Equal(1, _records.Log().Head()!.Number);
    }

    [Fact]
    public void Append_Entry_SaysWhoWhenWhyAndWithWhat()
    {
        Append(Draft("7") with { Why = "knot 1:15 °", Versions = new EntryVersions { OpenCv = "4.13", RuleBook = "spar 1" }, PhotoSha256 = new string('a', 64) });
        var entry = _records.Log().Find(1)!;
        Assert.Equal(
            """{"at":"2026-07-04T12:00:00.000Z","body":{"card":"7"},"kind":"trial","photoSha256":"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa","subjects":{"piece":"12"},"versions":{"openCv":"4.13","ruleBook":"spar 1"},"who":"yard","why":"knot 1:15 °"}""",
            entry.Content);
        Assert.Equal(LogEntry.NoPrevious, entry.PreviousSha256);
    }

    [Fact]
    public void Append_ClockSetBack_KeepsTheTimeOfTheEntryBefore()
    {
        Append(Draft("1"));
        Append(Draft("2") with { At = TemporaryRecords.Noon.AddHours(-3) });
        using var content = JsonDocument.Parse(_records.Log().Find(2)!.Content);
        Assert.Equal("2026-07-04T12:00:00.000Z", content.RootElement.GetProperty("at").GetString());
        Assert.True(_records.Verify().IsWhole);
    }

    [Fact]
    public async Task Append_FromManyThreads_IsOneChain()
    {
        await Task.WhenAll(Enumerable.Range(0, 8).Select(t => Task.Run(() =>
        {
            for (var i = 0; i < 20; i++)
                Append(Draft($"{t}-{i}"));
        })));
        var found = _records.Verify();
        Assert.True(found.IsWhole, found.Problem?.What);
        Assert.Equal(160, found.Head);
    }

    [Fact]
    public void Measurement_KeyTaken_LeavesNoEntry()
    {
        var store = new MeasurementStore(_records.Database);
        var first = _records.Measure("m1");
        var key = new IdempotencyKey("yard", "17", "content");
        Assert.True(store.TryAdd(first with { Id = "m2" }, key, new Recording("yard", EntryVersions.None)));
        Assert.False(store.TryAdd(first with { Id = "m3" }, key, new Recording("yard", EntryVersions.None)));
        Assert.Equal(2, _records.Log().Head()!.Number);
    }

    [Fact]
    public void RuleBook_EachVersion_HasAnEntry()
    {
        var store = new RuleBookStore(_records.Database);
        var book = new StoredRuleBook("rib", 1, TemporaryRecords.Noon, "office", """{"id":"rib","version":1}""");
        Assert.True(store.TryAdd(book));
        Assert.False(store.TryAdd(book));
        store.Enter([book with { CreatedBy = "local" }, book with { Id = "spar" }]);
        store.Enter([book with { Id = "spar" }]); // the next start of the program
        var entries = _records.Log().Page(new LogFilter { Kind = LogKind.RuleBookVersion }, null, 10);
        Assert.Equal(2, entries.Count);
        Assert.Contains("\"spar 1\"", entries[0].Content, StringComparison.Ordinal);
        Assert.True(_records.Verify().IsWhole);
    }

    [Fact]
    public void RecordsOfTheFirstSchema_AreEnteredOnceWithANote()
    {
        _records.Measure("m1");
        _records.Measure("m2");
        // Back to the schema before the log.
        _records.Tamper("DROP TABLE finding_keys; DROP TABLE findings; DROP TABLE delivery_keys; DROP TABLE job_photos; DROP TABLE delivery_photos; DROP TABLE jobs; DROP TABLE pieces; DROP TABLE deliveries; DROP TABLE decision_keys; DROP TABLE decision_limits; DROP TABLE decisions; DROP TABLE log; DROP TABLE schema_steps; PRAGMA user_version=1;");
        SqliteConnection.ClearAllPools();
        RecordsOpener.Open(_records.File);
        RecordsOpener.Open(_records.File);
        var found = _records.Verify();
        Assert.True(found.IsWhole, found.Problem?.What);
        Assert.Equal(2, found.Head);
        Assert.Contains("before the log began", _records.Log().Find(1)!.Content, StringComparison.Ordinal);
    }

    [Fact]
    public void Page_ByEveryFilter_FindsItsEntriesAndNoOthers()
    {
        for (var i = 0; i < 10; i++)
        {
            Append(Draft($"{i}") with
            {
                Kind = i % 2 == 0 ? "even" : "odd", Who = "w" + (i % 3), At = TemporaryRecords.Noon.AddMinutes(i),
                Subjects = new EntrySubjects { Delivery = "d" + (i % 5), Piece = "p" + i, Measurement = "m" + i, Decision = "c" + i, RuleBook = "b" + (i % 4) },
            });
        }

        Assert.Equal([9, 7, 5, 3, 1], Numbers(new LogFilter { Kind = "even" }));
        Assert.Equal([10, 7, 4, 1], Numbers(new LogFilter { Who = "w0" }));
        Assert.Equal([7, 2], Numbers(new LogFilter { Delivery = "d1" }));
        Assert.Equal([4], Numbers(new LogFilter { Piece = "p3" }));
        Assert.Equal([4], Numbers(new LogFilter { Measurement = "m3" }));
        Assert.Equal([4], Numbers(new LogFilter { Decision = "c3" }));
        Assert.Equal([9, 5, 1], Numbers(new LogFilter { RuleBook = "b0" }));
        Assert.Equal([5, 4, 3], Numbers(new LogFilter { From = TemporaryRecords.Noon.AddMinutes(2), To = TemporaryRecords.Noon.AddMinutes(5) }));
        Assert.Equal([5, 3], Numbers(new LogFilter { Kind = "even", From = TemporaryRecords.Noon.AddMinutes(2), To = TemporaryRecords.Noon.AddMinutes(5) }));
        Assert.Empty(Numbers(new LogFilter { From = TemporaryRecords.Noon.AddDays(1) }));
        Assert.Equal([5, 3], _records.Log().Page(new LogFilter { Kind = "even" }, 7, 2).Select(e => e.Number));
    }

    private IEnumerable<long> Numbers(LogFilter filter) => _records.Log().Page(filter, null, 100).Select(e => e.Number);

    private void Append(LogEntryDraft draft)
    {
        using var connection = _records.Database.Connect();
        using var transaction = connection.BeginTransaction(deferred: false);
        LogWriter.Append(transaction, draft);
        transaction.Commit();
    }

    private static LogEntryDraft Draft(string card) => new()
    {
        Kind = LogKind.Trial, Who = "yard", At = TemporaryRecords.Noon, Subjects = new EntrySubjects { Piece = "12" }, Body = new { card },
    };
}
