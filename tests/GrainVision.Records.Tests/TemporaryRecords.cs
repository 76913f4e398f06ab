using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Opening;
using GrainVision.Records.Photos;
using GrainVision.Records.Schema;
using GrainVision.Records.Verification;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Tests;

/// <summary>A data folder of its own, which goes with it.</summary>
public sealed class TemporaryRecords : IDisposable
{
    public TemporaryRecords()
    {
        Database = RecordsOpener.Open(File);
        Photos = new ContentAddressedStore(In("photos"));
        Pictures = new ContentAddressedStore(In("pictures"));
    }

    public string Folder { get; } = Directory.CreateTempSubdirectory("grainvision-records-").FullName;

    public string File => In("records.sqlite");

    public RecordsDatabase Database { get; }

    public ContentAddressedStore Photos { get; }

    public ContentAddressedStore Pictures { get; }

    public static DateTimeOffset Noon { get; } = new(2026, 7, 4, 12, 0, 0, TimeSpan.Zero);

    public string In(string name) => Path.Combine(Folder, name);

    /// <summary>Records a measurement as the service does, with a photo and a picture of a few bytes.</summary>
    public StoredMeasurement Measure(string id, string? piece = null)
    {
        var photo = Photos.Put(System.Text.Encoding.UTF8.GetBytes("photo of " + id));
        var picture = Pictures.Put(System.Text.Encoding.UTF8.GetBytes("picture of " + id));
        var measurement = new StoredMeasurement(
            id, Noon.AddSeconds(Log().Head()?.Number ?? 0), photo, picture, "image/jpeg", """{"view":"end","scale":{"kind":"auto"}}""",
            $$"""{"id":"{{id}}","view":"end","note":"1:15 °","rings":{"perInch":{"value":7.50,"low":7E0,"high":8} } }""");
        Assert.True(new MeasurementStore(Database).TryAdd(measurement, null, new Recording("yard", new EntryVersions { Pipeline = "1.0.0" }) { Piece = piece }));
        return measurement;
    }

    public LogReader Log() => new(Database);

    /// <summary>The log as exported.</summary>
    public List<string> Lines() => [.. Log().Range(1, long.MaxValue).Select(e => e.ToLine())];

    public LogVerification Verify(params Checkpoint[] checkpoints) =>
        DatabaseVerifier.Verify(Database, checkpoints, new PhotoFolder(Folder).Problem, CancellationToken.None);

    /// <summary>Changes the file as a tamperer would: who can write to it can drop the triggers first.</summary>
    public void Tamper(string sql)
    {
        using var connection = Database.Connect();
        using var command = connection.CreateCommand();
#pragma warning disable CA2100 // the tests' own words
        command.CommandText = "SELECT group_concat('DROP TRIGGER ' || name, ';') FROM sqlite_master WHERE type = 'trigger';";
        command.CommandText = (string)command.ExecuteScalar()! + ";PRAGMA foreign_keys=OFF;" + sql;
#pragma warning restore CA2100
        command.ExecuteNonQuery();
    }

    public void Dispose()
    {
        SqliteConnection.ClearAllPools();
        Directory.Delete(Folder, recursive: true);
    }
}
