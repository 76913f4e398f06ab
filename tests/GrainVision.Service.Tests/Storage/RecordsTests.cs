using System.Text;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Opening;
using GrainVision.Records.Photos;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Service.Tests.Storage;

/// <summary>What must survive a crash.</summary>
public sealed class RecordsTests : IDisposable
{
    private static readonly Recording Yard = new("yard", EntryVersions.None);

    private readonly TemporaryFolder _folder = new();

    public void Dispose()
    {
        SqliteConnection.ClearAllPools();
        _folder.Dispose();
    }

    // SHA-256 of "abc": FIPS 180-2, appendix B.1.
    [Fact]
    public void Store_Content_LiesUnderItsHash()
    {
        var store = new ContentAddressedStore(_folder.Path);
        var sha256 = store.Put("abc"u8);
        Assert.Equal("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", sha256);
        Assert.True(File.Exists(Path.Combine(_folder.Path, "ba", "7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")));
        Assert.Equal("abc"u8.ToArray(), store.Read(sha256));
        Assert.Equal(sha256, store.Put("abc"u8)); // the same again is the same file
        Assert.Empty(Directory.EnumerateFiles(Path.Combine(_folder.Path, "incoming")));
    }

    [Fact]
    public void Store_FileChangedOnDisk_IsNotHandedOut()
    {
        var store = new ContentAddressedStore(_folder.Path);
        var sha256 = store.Put("abc"u8);
        File.WriteAllText(Path.Combine(_folder.Path, sha256[..2], sha256[2..]), "abd");
        Assert.Throws<InvalidDataException>(() => store.Read(sha256));
    }

    [Theory]
    [InlineData("../../records.sqlite")]
    [InlineData("")]
    [InlineData("BA7816BF8F01CFEA414140DE5DAE2223B00361A396177A9CB410FF61F20015AD")]
    public void Store_NamesThatAreNoHash_AreNeverAFile(string name) => Assert.Throws<ArgumentException>(() => new ContentAddressedStore(_folder.Path).Read(name));

    [Fact]
    public void Store_CrashBeforeKeeping_LeavesNothing()
    {
        var store = new ContentAddressedStore(_folder.Path);
        var staged = store.Stage("half an upload"u8); // never kept, never disposed: the process died here
        Assert.Null(store.Read(staged.Sha256));
        Assert.Single(Directory.EnumerateFiles(Path.Combine(_folder.Path, "incoming")));
        Assert.Null(new ContentAddressedStore(_folder.Path).Read(staged.Sha256));
        Assert.Empty(Directory.EnumerateFiles(Path.Combine(_folder.Path, "incoming")));
    }

    [Fact]
    public void Database_CommitsReachTheDisk()
    {
        using var connection = Open().Connect();
        Assert.Equal("wal", Ask(connection, "PRAGMA journal_mode"));
        Assert.Equal(2L, Ask(connection, "PRAGMA synchronous")); // 2: FULL
        Assert.Equal(1L, Ask(connection, "PRAGMA foreign_keys"));
    }

    [Fact]
    public void Database_OfANewerProgram_IsNotTouched()
    {
        using (var connection = Open().Connect())
            Ask(connection, "PRAGMA user_version=99");
        Assert.Throws<InvalidDataException>(Open);
    }

    [Fact]
    public void Store_Measurement_ReadsBackAsWritten()
    {
        var store = new MeasurementStore(Open());
        var written = Record("m1");
        Assert.True(store.TryAdd(written, null, Yard));
        Assert.Equal(written, new MeasurementStore(Open()).Find("m1"));
        Assert.Null(store.Find("m2"));
        Assert.Null(store.Find("m1' OR '1'='1"));
    }

    [Fact]
    public void Store_KeyTaken_RecordsNothing()
    {
        var store = new MeasurementStore(Open());
        var key = new IdempotencyKey("yard", "17", "content");
        Assert.True(store.TryAdd(Record("m1"), key, Yard));
        Assert.False(store.TryAdd(Record("m2"), key, Yard));
        Assert.Null(store.Find("m2"));
        Assert.Equal("m1", store.FindByKey(key, out var same)?.Id);
        Assert.True(same);
        Assert.Equal("m1", store.FindByKey(key with { ContentSha256 = "other" }, out same)?.Id);
        Assert.False(same);
        Assert.Null(store.FindByKey(key with { Client = "office" }, out _));
    }

    private RecordsDatabase Open() => RecordsOpener.Open(Path.Combine(_folder.Path, "records.sqlite"));

    private static object? Ask(SqliteConnection connection, string pragma)
    {
        using var command = connection.CreateCommand();
#pragma warning disable CA2100 // the text is one of the constants above
        command.CommandText = pragma;
#pragma warning restore CA2100
        return command.ExecuteScalar();
    }

    private static StoredMeasurement Record(string id) => new(
        id, new DateTimeOffset(2026, 7, 4, 12, 30, 15, 123, TimeSpan.Zero), new string('a', 64), new string('b', 64), "image/jpeg",
        "{\"view\":\"end\"}", "{\"id\":\"" + id + "\",\"note\":\"1:15 °\"}");
}
