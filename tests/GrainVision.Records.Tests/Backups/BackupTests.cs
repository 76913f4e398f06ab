using GrainVision.Records.Backups;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Opening;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Tests.Backups;

public sealed class BackupTests : IDisposable
{
    private readonly TemporaryRecords _records = new();

    private string Copy => _records.Folder + "-copy";

    private string Other => _records.Folder + "-other";

    public void Dispose()
    {
        _records.Dispose();
        foreach (var folder in Directory.EnumerateDirectories(Path.GetDirectoryName(_records.Folder)!, Path.GetFileName(_records.Folder) + "*"))
            Directory.Delete(folder, recursive: true);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Backup_PutBack_IsTheSameRecords(bool hardLinks)
    {
        for (var i = 0; i < 5; i++)
            _records.Measure("m" + i);
        var made = Backup.Make(_records.Folder, Copy, hardLinks, CancellationToken.None);
        Assert.True(made.TryGet(out var report, out var refusal), refusal?.Message);
        Assert.Equal((5, 10), (report.Verified.Entries, report.Verified.Photos));
        var lines = _records.Lines();
        var restored = Backup.Restore(Copy, Other, [], TemporaryRecords.Noon, CancellationToken.None);
        Assert.True(restored.TryGet(out var put, out refusal), refusal?.Message);
        Assert.Null(put.Before);
        Assert.Equal(lines, new LogReader(RecordsOpener.Open(Path.Combine(Other, "records.sqlite"))).Range(1, 99).Select(e => e.ToLine()));
    }

    [Fact]
    public async Task Backup_WhileOthersWrite_IsOneWholeState()
    {
        _records.Measure("first");
        using var stop = new CancellationTokenSource();
        var writing = Task.Run(() =>
        {
            for (var i = 0; !stop.IsCancellationRequested; i++)
                _records.Measure($"w{i:D6}");
        });
        for (var i = 0; i < 3; i++)
            Assert.True(Backup.Make(_records.Folder, $"{Copy}{i}", false, CancellationToken.None).TryGet(out _, out var refusal), refusal?.Message);
        await stop.CancelAsync();
        await writing;
        Assert.True(_records.Verify().IsWhole);
    }

    [Fact]
    public void Backup_OfRecordsThatAreNotWhole_IsRefusedAndNamesTheEntry()
    {
        _records.Measure("m0");
        _records.Measure("m1");
        _records.Tamper("UPDATE log SET content = replace(content, '7.5', '9.5') WHERE number = 2");
        Assert.Contains("entry 2", Refused(Backup.Make(_records.Folder, Copy, false, CancellationToken.None), "records-not-whole"), StringComparison.Ordinal);
        Assert.False(Directory.Exists(Copy));
        Assert.False(Directory.Exists(Copy + ".partial"));
    }

    [Fact]
    public void Backup_OverAnother_IsRefused()
    {
        _records.Measure("m0");
        Directory.CreateDirectory(Copy);
        Refused(Backup.Make(_records.Folder, Copy, false, CancellationToken.None), "target-there");
        Refused(Backup.Make(Other, Copy + "2", false, CancellationToken.None), "records-missing");
    }

    [Fact]
    public void Restore_OfABackupWithASwappedPhoto_ChangesNothing()
    {
        var measurement = _records.Measure("m0");
        Assert.NotNull(Backup.Make(_records.Folder, Copy, false, CancellationToken.None).Found);
        File.WriteAllText(Path.Combine(Copy, "photos", measurement.PhotoSha256[..2], measurement.PhotoSha256[2..]), "another board");
        _records.Measure("m1");
        Assert.Contains("photo of entry 1", Refused(Backup.Restore(Copy, _records.Folder, [], TemporaryRecords.Noon, CancellationToken.None), "records-not-whole"), StringComparison.Ordinal);
        Assert.Equal(2, _records.Log().Head()!.Number);
    }

    [Fact]
    public void Restore_OverRecords_KeepsThemAside()
    {
        _records.Measure("m0");
        Assert.NotNull(Backup.Make(_records.Folder, Copy, false, CancellationToken.None).Found);
        _records.Measure("m1");
        Assert.True(Backup.Restore(Copy, _records.Folder, [], TemporaryRecords.Noon, CancellationToken.None).TryGet(out var report, out var refusal), refusal?.Message);
        Assert.Equal(_records.Folder + ".before-20260704T120000Z", report.Before);
        Assert.NotNull(new MeasurementStore(RecordsOpener.Open(Path.Combine(report.Before!, "records.sqlite"))).Find("m1"));
        Assert.Equal(1, _records.Log().Head()!.Number);
    }

    [Fact]
    public void Restore_OfAnOlderBackup_ShowsByACheckpoint()
    {
        _records.Measure("m0");
        Assert.NotNull(Backup.Make(_records.Folder, Copy, false, CancellationToken.None).Found);
        _records.Measure("m1");
        var head = _records.Log().Head()!;
        Checkpoint[] held = [new(head.Number, head.Sha256, "2026-07-04T13:00:00.000Z")];
        Assert.Contains("older state", Refused(Backup.Restore(Copy, _records.Folder, held, TemporaryRecords.Noon, CancellationToken.None), "records-not-whole"), StringComparison.Ordinal);
    }

    [Fact]
    public void Restore_WhileTheServiceRuns_IsRefused()
    {
        _records.Measure("m0");
        Assert.NotNull(Backup.Make(_records.Folder, Copy, false, CancellationToken.None).Found);
        using (var service = FolderLock.TryTake(_records.Folder))
        {
            Assert.NotNull(service);
            Refused(Backup.Restore(Copy, _records.Folder, [], TemporaryRecords.Noon, CancellationToken.None), "service-running");
        }

        Assert.NotNull(Backup.Restore(Copy, _records.Folder, [], TemporaryRecords.Noon, CancellationToken.None).Found);
    }

    private static string Refused(GrainVision.Grading.Refusals.Outcome<BackupReport> outcome, string code)
    {
        Assert.Equal(code, outcome.Refusal?.Code);
        return outcome.Refusal!.Message;
    }
}
