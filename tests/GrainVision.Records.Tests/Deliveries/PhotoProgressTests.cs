using System.Data.Common;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Deliveries;
using GrainVision.Records.Opening;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Tests.Deliveries;

/// <summary>Photos of a delivery from arrival to measured or set aside, as the tables keep them.</summary>
public sealed class PhotoProgressTests : IDisposable
{
    private const string Id = "delivery-1";

    private static readonly PhotoProblem Problem = new("test", "Why.", "Advice.");

    private readonly TemporaryRecords _records = new();
    private readonly List<PhotoStep> _queued = [];

    private DeliveryPhotoStore Photos => new(_records.Database);

    private PhotoProgress Work => new(_records.Database, TimeProvider.System);

    public void Dispose() => _records.Dispose();

    [Fact]
    public async Task APhotoThatTheProcessDiesOfIsSetAsideAndMayBeTriedAgain()
    {
        await Receive("a");
        for (var death = 1; death <= PhotoProgress.MostDeaths; death++)
        {
            Assert.NotNull(Work.Begin(Sort("a")));
            Assert.Equal(1, Work.TakeUpLeftWork());
            Assert.Equal(death, Photo("a").Deaths);
        }

        Assert.Equal((PhotoState.SetAside, "process-died", 1L), (Photo("a").State, Photo("a").Problem?.Code, Photo("a").FinishedNo));
        Assert.Null(Work.Begin(Sort("a")));
        Assert.True(await Photos.Retry(Id, "a", "yard", TemporaryRecords.Noon, Queue));
        Assert.Equal([Sort("a")], Taken());
        Assert.Equal((PhotoState.Received, 0, null, null), (Photo("a").State, Photo("a").Deaths, Photo("a").Problem, Photo("a").FinishedNo));
        Assert.False(await Photos.Retry(Id, "a", "yard", TemporaryRecords.Noon, Queue));
    }

    [Fact]
    public async Task AFaceWaitsForItsEndAndIsMeasuredWithItsAngle()
    {
        await Receive("end", "face", "other");
        var end = new PhotoPlace(1, Surface.EndA);
        var face = new PhotoPlace(1, Surface.Face1) { StationMm = 300.5, FromEndB = true };
        Assert.True(Work.PlaceEnd(Begin(Sort("end")).Photo, end, SortedBy.Card, TemporaryRecords.Noon));
        await Work.PlaceFace(Begin(Sort("face")).Photo, face, SortedBy.Manifest, "[1]", TemporaryRecords.Noon, Queue);
        await Work.Unsorted(Begin(Sort("other")).Photo, Problem, Queue);
        Assert.Empty(Taken());
        Assert.Null(Work.Begin(Measure("face")));
        Assert.Equal((face, SortedBy.Manifest, "[1]"), (Photo("face").Place, Photo("face").SortedBy, Photo("face").CardsJson));

        await Work.Measured(Photo("end"), end, _records.Measure("m1").Id, (30, 40.5), null, Queue);
        Assert.Equal([Measure("face")], Taken());
        var work = Begin(Measure("face"));
        Assert.Equal(30, work.RingAngleDegrees);
        await Work.Measured(work.Photo, face, _records.Measure("m2").Id, null, work.RingAngleDegrees, Queue);
        Assert.Equal(
            [("end", PhotoState.Measured, "m1", 2L), ("face", PhotoState.Measured, "m2", 3L), ("other", PhotoState.Unsorted, null, 1L)],
            Photos.OfDelivery(Id).Select(p => (p.Sha256, p.State, p.MeasurementId, p.FinishedNo)));

        // The other end, which a person places, shows a smaller angle, which governs: the face is measured anew once that end is done with.
        Assert.True(await Photos.Assign(Id, "other", new PhotoPlace(1, Surface.EndB), "yard", TemporaryRecords.Noon, Queue));
        Assert.Equal([Measure("other")], Taken());
        await Work.Measured(Begin(Measure("other")).Photo, new PhotoPlace(1, Surface.EndB), _records.Measure("m3").Id, (20.25, 35), null, Queue);
        Assert.Equal([Measure("face")], Taken());
        Assert.Equal((PhotoState.Waiting, null, null), (Photo("face").State, Photo("face").MeasurementId, Photo("face").FinishedNo));
        Assert.Equal(20.25, Begin(Measure("face")).RingAngleDegrees);
        Assert.Equal(["end", "face", "other"], Photos.OfPiece(Id, 1).Select(p => p.Sha256));
        Assert.Equal(["end", "face", "other"], Photos.OfJob("job-1").Select(p => p.Sha256));
    }

    [Fact]
    public async Task AStepThatIsBrokenOffIsQueuedAndOneThatFailsIsTheEnginesToBringAgain()
    {
        await Receive("a");
        var begun = Begin(Sort("a")).Photo;
        Assert.Equal(PhotoState.Sorting, Photo("a").State);
        await Work.BrokenOff(begun, Queue);
        Assert.Equal([Sort("a")], Taken());
        Work.PutDown(Begin(Sort("a")).Photo);
        Assert.Empty(Taken());
        Assert.Equal(PhotoState.Received, Photo("a").State);
        Assert.Equal(0, Work.TakeUpLeftWork());
        await Work.SetAside(Begin(Sort("a")).Photo, Problem, Queue);
        Assert.Empty(Taken());
        Assert.Equal((PhotoState.SetAside, Problem), (Photo("a").State, Photo("a").Problem));
        Assert.Null(Work.Begin(Sort("a")));
    }

    /// <summary>Every state that the table once kept, with what it kept beside it, reads the same after the upgrade.</summary>
    [Fact]
    public async Task StatesThatAnOlderVersionKept_ReadTheSame()
    {
        PhotoState[] states = Enum.GetValues<PhotoState>();
        await Receive([.. states.Select(s => s.ToString())]);
        _records.Measure("m1");
        _records.Tamper("""
            DROP INDEX delivery_photos_open;
            ALTER TABLE delivery_photos DROP COLUMN in_hand;
            ALTER TABLE delivery_photos DROP COLUMN needs_place;
            ALTER TABLE delivery_photos ADD COLUMN state TEXT NOT NULL DEFAULT 'received';
            ALTER TABLE delivery_photos ADD COLUMN tries INTEGER NOT NULL DEFAULT 0;
            CREATE INDEX delivery_photos_by_state ON delivery_photos (delivery_id, state);
            UPDATE delivery_photos SET state = lower(substr(sha256, 1, 1)) || substr(sha256, 2);
            UPDATE delivery_photos SET place_json = '{"pieceNumber":1,"surface":"face1"}', piece_number = 1, surface = 'face1' WHERE state IN ('waiting', 'measuring', 'measured');
            UPDATE delivery_photos SET reason_json = '{"code":"test","why":"Why.","advice":"Advice."}' WHERE state IN ('unsorted', 'setAside');
            UPDATE delivery_photos SET measurement_id = 'm1' WHERE state = 'measured';
            DELETE FROM schema_steps WHERE ScriptName = '009-facts';
            """);
        SqliteConnection.ClearAllPools();
        RecordsOpener.Open(_records.File);
        Assert.Equal(states, Photos.OfDelivery(Id).Select(p => p.State));
        Assert.Equal(2, Work.TakeUpLeftWork());
    }

    private static PhotoStep Sort(string sha256) => new(PhotoStepKind.Sort, Id, sha256);

    private static PhotoStep Measure(string sha256) => new(PhotoStepKind.Measure, Id, sha256);

    private PhotoInWork Begin(PhotoStep step)
    {
        var work = Work.Begin(step);
        Assert.NotNull(work);
        return work;
    }

    private DeliveryPhoto Photo(string sha256)
    {
        var photo = Photos.Find(Id, sha256);
        Assert.NotNull(photo);
        return photo;
    }

    private async Task Receive(params string[] photos)
    {
        var delivery = new Delivery { Id = Id, Supplier = "An invented mill", OrderNumber = "1" };
        var piece = new Piece { Id = "piece-1", Number = 1, NominalQuarters = 8, WidthIn = 6, LengthFt = 8 };
        Assert.True(new DeliveryStore(_records.Database).TryAdd(new StoredDelivery(Id, TemporaryRecords.Noon, "yard", delivery, null), [piece], null));
        var job = new StoredJob("job-1", Id, TemporaryRecords.Noon, "yard");
        Assert.True(await Photos.TryAdd(job, photos.Select(p => new ArrivedPhoto(p, p + ".jpg", null)), null, Queue));
        Assert.Equal(job, Photos.FindJob("job-1"));
        Assert.Equal(photos.Select(Sort), Taken());
    }

    private List<PhotoStep> Taken()
    {
        List<PhotoStep> taken = [.. _queued];
        _queued.Clear();
        return taken;
    }

    private Task<Func<Task>> Queue(DbTransaction transaction, IReadOnlyList<PhotoStep> steps)
    {
        _queued.AddRange(steps);
        return Task.FromResult(() => Task.CompletedTask);
    }
}
