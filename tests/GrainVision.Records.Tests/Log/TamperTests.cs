using System.Text.Json.Nodes;
using GrainVision.Records.Log;
using GrainVision.Records.Photos;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Tests.Log;

/// <summary>
/// Every way of tampering, one each, on an exported log and on the database. Edit, drop, insert, reorder and a swapped photo show by the
/// chain. A cut tail, a database rolled back and a log rewritten throughout are perfect chains: the tests say that only a checkpoint kept elsewhere shows these.
/// </summary>
public sealed class TamperTests : IDisposable
{
    private readonly TemporaryRecords _records = new();
    private readonly List<string> _lines;

    public TamperTests()
    {
        for (var i = 1; i <= 6; i++)
            _records.Measure("m" + i, "piece-" + (i % 2));
        _lines = _records.Lines();
    }

    public void Dispose() => _records.Dispose();

    [Fact]
    public void Untouched_Log_IsWhole()
    {
        var found = Verify(_lines);
        Assert.True(found.IsWhole, found.Problem?.What);
        Assert.Equal((6, 1, 6, 12), (found.Entries, found.First, found.Head, found.Photos));
        Assert.Equal(_records.Log().Head()!.Sha256, found.HeadSha256);
        Assert.True(_records.Verify().IsWhole);
    }

    [Fact]
    public void Edit_OfOneCharacter_NamesTheEntryAndBothHashes()
    {
        var problem = Problem([.. _lines.Select((l, i) => i == 2 ? l.Replace("7.5", "9.5", StringComparison.Ordinal) : l)]);
        Assert.Equal(3, problem.Number);
        Assert.Equal(LogProblemCode.ContentChanged, problem.Code);
        Assert.NotEqual(problem.Expected, problem.Found);
    }

    [Fact]
    public void Edit_WithItsHashesMadeAnew_ShowsAtTheNextEntry()
    {
        var problem = Problem([.. _lines.Select((l, i) => i == 2 ? Forge(l, 3, PreviousOf(l), "7.5", "9.5") : l)]);
        Assert.Equal(4, problem.Number);
        Assert.Equal(LogProblemCode.ChainBroken, problem.Code);
    }

    [Fact]
    public void Edit_OfTheLastEntryWithItsHashesMadeAnew_NeedsACheckpoint()
    {
        List<string> forged = [.. _lines.Take(5), Forge(_lines[5], 6, PreviousOf(_lines[5]), "7.5", "9.5")];
        Assert.True(Verify(forged).IsWhole); // nothing after it holds its hash
        Assert.Equal(LogProblemCode.CheckpointDiffers, Problem(forged, Head()).Code);
    }

    [Fact]
    public void Drop_InTheMiddle_NamesTheMissingEntry()
    {
        var problem = Problem([.. _lines.Where((_, i) => i != 3)]);
        Assert.Equal(4, problem.Number);
        Assert.Equal(LogProblemCode.EntryMissing, problem.Code);
    }

    [Fact]
    public void Insert_OfAForgedEntry_ShowsThatTheNextDoesNotFollow()
    {
        var forged = Forge(_lines[3], 4, PreviousOf(_lines[3]), "m4", "m9");
        var problem = Problem([.. _lines.Take(3), forged, .. _lines.Skip(3)]);
        Assert.Equal(4, problem.Number);
        Assert.Equal(LogProblemCode.EntryOutOfPlace, problem.Code);
    }

    [Fact]
    public void Reorder_OfTwoEntries_NamesTheFirstThatIsOutOfPlace()
    {
        var problem = Problem([_lines[0], _lines[2], _lines[1], .. _lines.Skip(3)]);
        Assert.Equal(2, problem.Number);
        Assert.Equal(LogProblemCode.EntryMissing, problem.Code);
    }

    [Fact]
    public void Truncate_TheTail_NeedsACheckpoint()
    {
        var cut = _lines.Take(4).ToList();
        Assert.True(Verify(cut).IsWhole); // a shorter log is a perfect chain
        var problem = Problem(cut, Head());
        Assert.Equal(5, problem.Number);
        Assert.Equal(LogProblemCode.CheckpointBeyondLog, problem.Code);
    }

    [Fact]
    public void Truncate_InsideALine_IsNoEntry()
    {
        var problem = Problem([.. _lines.Take(5), _lines[5][..100]]);
        Assert.Equal((6, LogProblemCode.Unreadable), (problem.Number, problem.Code));
    }

    [Fact]
    public void Rewrite_FromAnEntryOn_NeedsACheckpoint()
    {
        var rewritten = _lines.Take(2).ToList();
        var previous = Sha(rewritten[1]);
        for (var n = 3; n <= 6; n++)
        {
            rewritten.Add(Forge(_lines[n - 1], n, previous, "7.5", "9.5"));
            previous = Sha(rewritten[^1]);
        }

        Assert.True(Verify(rewritten).IsWhole);
        var problem = Problem(rewritten, Head());
        Assert.Equal(6, problem.Number);
        Assert.Equal(LogProblemCode.CheckpointDiffers, problem.Code);
    }

    [Fact]
    public void SwappedPhoto_IsNamedWithItsEntry()
    {
        var sha256 = JsonNode.Parse(_lines[4])!["content"]!["photoSha256"]!.GetValue<string>();
        File.WriteAllText(_records.In($"photos/{sha256[..2]}/{sha256[2..]}"), "another board");
        var problem = Problem(_lines);
        Assert.Equal(5, problem.Number);
        Assert.Equal((LogProblemCode.PhotoDiffers, sha256), (problem.Code, problem.Expected));
        Assert.Equal(5, _records.Verify().Problem!.Number);
    }

    [Fact]
    public void MissingPicture_IsNamedWithItsEntry()
    {
        var sha256 = JsonNode.Parse(_lines[1])!["content"]!["pictureSha256"]!.GetValue<string>();
        File.Delete(_records.In($"pictures/{sha256[..2]}/{sha256[2..]}"));
        var problem = Problem(_lines);
        Assert.Equal((2, LogProblemCode.PhotoDiffers, sha256), (problem.Number, problem.Code, problem.Expected));
    }

    [Fact]
    public void RolledBackDatabase_NeedsACheckpoint()
    {
        var older = _records.In("older.sqlite");
        using (var from = _records.Database.Connect())
        using (var to = new SqliteConnection($"Data Source={older};Pooling=False"))
        {
            to.Open();
            from.BackupDatabase(to);
        }

        _records.Measure("m7");
        var checkpoint = Head();
        SqliteConnection.ClearAllPools();
        File.Delete(_records.File + "-wal");
        File.Copy(older, _records.File, overwrite: true);
        Assert.True(_records.Verify().IsWhole); // it was whole then, and it is whole now
        var problem = _records.Verify(checkpoint).Problem!;
        Assert.Equal(7, problem.Number);
        Assert.Equal(LogProblemCode.CheckpointBeyondLog, problem.Code);
    }

    [Theory]
    [InlineData("UPDATE log SET who = 'nobody' WHERE number = 3", 3, LogProblemCode.SearchColumnChanged, "'who'")]
    [InlineData("UPDATE log SET piece = NULL WHERE number = 2", 2, LogProblemCode.SearchColumnChanged, "'piece'")]
    [InlineData("UPDATE log SET content = replace(content, '7.5', '9.5') WHERE number = 4", 4, LogProblemCode.ContentChanged, "entry 4")]
    [InlineData("DELETE FROM log WHERE number = 2", 2, LogProblemCode.EntryMissing, "Entry 2")]
    [InlineData("UPDATE measurements SET measurement_json = replace(measurement_json, '7.50', '9.50') WHERE id = 'm5'", 5, LogProblemCode.RecordChanged, "answer of measurement m5")]
    [InlineData("UPDATE measurements SET request_json = '{}' WHERE id = 'm1'", 1, LogProblemCode.RecordChanged, "request of measurement m1")]
    [InlineData("UPDATE measurements SET picture_sha256 = photo_sha256 WHERE id = 'm6'", 6, LogProblemCode.RecordChanged, "picture of measurement m6")]
    [InlineData("DELETE FROM measurements WHERE id = 'm3'", 3, LogProblemCode.RecordMissing, "entry 3")]
    [InlineData("INSERT INTO measurements SELECT 'm9', created_utc, photo_sha256, picture_sha256, picture_type, request_json, measurement_json FROM measurements WHERE id = 'm1'", 6, LogProblemCode.RecordNotInLog, "m9")]
    public void TamperedDatabase_IsNamedWithItsEntry(string sql, long number, LogProblemCode code, string what)
    {
        _records.Tamper(sql);
        var problem = _records.Verify().Problem!;
        Assert.Equal((number, code), (problem.Number, problem.Code));
        Assert.Contains(what, problem.What, StringComparison.Ordinal);
    }

    // Before entries were typed, a content that closed its own brace could bring members of the line along.
    [Theory]
    [InlineData("UPDATE log SET content = content || ',\"x\":1' WHERE number = 4", LogProblemCode.Unreadable)]
    [InlineData("UPDATE log SET content = ' ' || content WHERE number = 4", LogProblemCode.ContentChanged)]
    [InlineData("UPDATE log SET content = '{}', content_sha256 = '44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a' WHERE number = 4", LogProblemCode.Unreadable)]
    public void ContentInTheDatabaseThatIsNoEntry_IsNamed(string sql, LogProblemCode code)
    {
        _records.Tamper(sql);
        var problem = _records.Verify().Problem!;
        Assert.Equal((4, code), (problem.Number, problem.Code));
    }

    [Theory]
    [InlineData("UPDATE log SET who = 'nobody' WHERE number = 3")]
    [InlineData("DELETE FROM log")]
    [InlineData("INSERT OR REPLACE INTO log SELECT number, previous_sha256, content_sha256, sha256, content, at_utc, kind, 'nobody', delivery, piece, measurement, decision, rule_book FROM log WHERE number = 3")]
    [InlineData("INSERT INTO log SELECT 9, previous_sha256, content_sha256, sha256, content, at_utc, kind, who, delivery, piece, measurement, decision, rule_book FROM log WHERE number = 3")]
    [InlineData("UPDATE measurements SET request_json = '{}'")]
    [InlineData("DELETE FROM measurements")]
    [InlineData("DELETE FROM rule_books WHERE 1; DELETE FROM log")]
    public void OrdinarySql_IsStoppedByTheTriggers(string sql)
    {
        using var connection = _records.Database.Connect();
        using var command = connection.CreateCommand();
#pragma warning disable CA2100 // the test's own words
        command.CommandText = sql;
#pragma warning restore CA2100
        Assert.Throws<SqliteException>(() => command.ExecuteNonQuery());
        Assert.True(_records.Verify().IsWhole);
    }

    [Fact]
    public void Extract_WithOthersWithheld_StillProvesItsEntriesUpToTheHead()
    {
        var entries = _records.Log().Range(3, 6).ToList();
        List<string> lines = [entries[0].ToLine(), entries[1].ToWithheldLine(), entries[2].ToLine(), entries[3].ToWithheldLine()];
        var found = Extract(lines);
        Assert.True(found.IsWhole, found.Problem?.What);
        Assert.Equal((2, 2, 3, 6, 1), (found.Entries, found.Withheld, found.First, found.Head, found.Checkpoints));
        Assert.Equal(5, Extract([.. lines.Select(l => l.Replace("7.5", "9.5", StringComparison.Ordinal)).Skip(1)]).Problem!.Number);
        Assert.Equal(4, Extract([lines[0], lines[2], lines[3]]).Problem!.Number); // a withheld entry left out
        Assert.Equal(LogProblemCode.ContentWithheld, Problem([_lines[0], _records.Log().Find(2)!.ToWithheldLine(), .. _lines.Skip(2)]).Code);
    }

    private LogVerification Extract(IEnumerable<string> lines)
    {
        var verifier = new LogVerifier([Head()], extract: true);
        foreach (var line in lines)
        {
            if (!verifier.AddLine(line))
                break;
        }

        return verifier.Finish();
    }

    private Checkpoint Head() => new(_records.Log().Head()!.Number, _records.Log().Head()!.Sha256, "2026-07-04T13:00:00.000Z");

    private LogVerification Verify(IEnumerable<string> lines, params Checkpoint[] checkpoints)
    {
        var verifier = new LogVerifier(checkpoints, new PhotoFolder(_records.Folder).Problem);
        foreach (var line in lines)
        {
            if (!verifier.AddLine(line))
                break;
        }

        return verifier.Finish();
    }

    private LogProblem Problem(IReadOnlyList<string> lines, params Checkpoint[] checkpoints) => Verify(lines, checkpoints).Problem!;

    /// <summary>What a tamperer who knows the format writes: content changed, all hashes of this entry made anew.</summary>
    private static string Forge(string line, long number, string previous, string from, string to)
    {
        var content = System.Text.Encoding.UTF8.GetString(CanonicalJson.From(JsonNode.Parse(line)!["content"]!.ToJsonString())).Replace(from, to, StringComparison.Ordinal);
        var contentSha256 = LogHash.Compute(System.Text.Encoding.UTF8.GetBytes(content));
        return new LogEntry(number, previous, contentSha256, LogHash.OfEntry(number, previous, contentSha256), content).ToLine();
    }

    private static string PreviousOf(string line) => JsonNode.Parse(line)!["previousSha256"]!.GetValue<string>();

    private static string Sha(string line) => JsonNode.Parse(line)!["sha256"]!.GetValue<string>();
}
