using System.Data.Common;
using System.Text;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Decisions;
using GrainVision.Records.Deliveries;
using GrainVision.Records.HandFindings;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.RuleBooks;

namespace GrainVision.Records.Tests.Verification;

/// <summary>Records with one of everything: two deliveries, photos in every state, a measurement, a finding, a decision, a rule book, and a key of each request.</summary>
internal static class WorkedRecords
{
    public const string First = "delivery-1";

    public const string Second = "delivery-2";

    /// <summary>What became of the photos of the first delivery.</summary>
    public static string[] States { get; } = ["measured", "face", "aside", "unsorted", "waiting"];

    /// <summary>The SHA-256 of the photo of which that became.</summary>
    public static string PhotoOf(string state) => LogHash.Compute(Encoding.UTF8.GetBytes(state));

    public static async Task Fill(TemporaryRecords records)
    {
        var recording = new Recording("yard", EntryVersions.None);
        foreach (var (id, n) in new[] { (First, 1), (Second, 3) })
        {
            var delivery = new Delivery { Id = id, Supplier = "An invented mill", OrderNumber = "17" };
            Piece[] pieces = [.. Enumerable.Range(1, 2).Select(k => Piece($"piece-{n + k - 1}", k))];
            Assert.True(new DeliveryStore(records.Database).TryAdd(new StoredDelivery(id, TemporaryRecords.Noon.AddTicks(n), "yard", delivery, null), pieces, Key("deliver " + id)));
        }

        var photos = new DeliveryPhotoStore(records.Database);
        var manifest = new PhotoPlace(2, Surface.Face2) { StationMm = 300.5 };
        ArrivedPhoto[] arrived = [.. States.Select(s => new ArrivedPhoto(records.Photos.Put(Encoding.UTF8.GetBytes(s)), s + ".jpg", s == "waiting" ? manifest : null))];
        Assert.True(await photos.TryAdd(new StoredJob("job-1", First, TemporaryRecords.Noon, "yard"), arrived, Key("send photos"), Queue));
        var work = new PhotoProgress(records.Database, TimeProvider.System);
        var end = new PhotoPlace(1, Surface.EndA);
        Assert.True(work.PlaceEnd(Begin(work, PhotoStepKind.Sort, "measured"), end, SortedBy.Card, TemporaryRecords.Noon));
        await work.Measured(Begin(work, PhotoStepKind.Measure, "measured"), end, Measure(records, "m1", "measured").Id, (30, 40.5), null, Queue);
        await work.PlaceFace(Begin(work, PhotoStepKind.Sort, "face"), new PhotoPlace(1, Surface.Face1), SortedBy.Name, """{"found":[1]}""", TemporaryRecords.Noon, Queue);
        await work.SetAside(Begin(work, PhotoStepKind.Sort, "aside"), new PhotoProblem("blurred", "Too blurred.", "Hold still."), Queue);
        await work.Unsorted(Begin(work, PhotoStepKind.Sort, "unsorted"), new PhotoProblem("no-card", "No card.", "Say where."), Queue);
        Measure(records, "m2", "another");

        Assert.True(new RuleBookStore(records.Database).TryAdd(new StoredRuleBook("rib", 1, TemporaryRecords.Noon, "office", """{"id":"rib","version":1,"most":1.50}""")));
        Assert.True(new RuleBookStore(records.Database).TryAdd(new StoredRuleBook("rib", 2, TemporaryRecords.Noon, "office", """{"id":"rib","version":2,"most":1.25}""")));
        HandFinding[] findings = [.. new[] { 10.0, 11 }.Select(v => new HandFinding { Quantity = "weight", Value = v, Unit = "lb", Instrument = "hanging scale", By = "A. Example" })];
        Assert.NotNull(new FindingStore(records.Database).Add("piece-1", findings, recording, TemporaryRecords.Noon, Key("enter findings")).Found);
        foreach (var (id, piece) in new[] { ("c1", "piece-1"), ("c2", "piece-2") })
            Assert.NotNull(new DecisionStore(records.Database).Add(piece, [], recording, TemporaryRecords.Noon, Key("decide " + id), _ => Decision(id, piece)).Found);
    }

    public static IdempotencyKey Key(string text) => new("yard", text, LogHash.Compute(Encoding.UTF8.GetBytes(text)));

    public static Task<Func<Task>> Queue(DbTransaction transaction, IReadOnlyList<PhotoStep> steps) => Task.FromResult(() => Task.CompletedTask);

    private static Piece Piece(string id, int number) => new() { Id = id, Number = number, NominalQuarters = 8, WidthIn = 6.25, LengthFt = 8, MoisturePercent = 14.5, WeightLb = 20 };

    private static DeliveryPhoto Begin(PhotoProgress work, PhotoStepKind kind, string state)
    {
        var begun = work.Begin(new PhotoStep(kind, First, PhotoOf(state)));
        Assert.NotNull(begun);
        return begun.Photo;
    }

    private static StoredMeasurement Measure(TemporaryRecords records, string id, string photo)
    {
        var measurement = new StoredMeasurement(
            id, TemporaryRecords.Noon, records.Photos.Put(Encoding.UTF8.GetBytes(photo)), records.Pictures.Put("picture"u8), "image/jpeg", "{}", $$"""{"id":"{{id}}","b":7E0,"a":1.50}""");
        Assert.True(new MeasurementStore(records.Database).TryAdd(measurement, Key("measure " + id), new Recording("yard", EntryVersions.None) { Delivery = First, Piece = "piece-1" }));
        return measurement;
    }

    private static Decision Decision(string id, string piece) => new()
    {
        Id = id, Piece = piece, Delivery = First, Species = "sitka-spruce", RuleBook = "spar", RuleBookVersion = 1, Use = "spar", Verdict = VerdictOutcome.Hold, ByRule = VerdictOutcome.Hold,
        DecidedBy = DecidedBy.Rule, Person = "yard", Override = false, Evidence = [], HandMeasurements = [], Reasons = [], HandChecks = [], Cautions = [],
    };
}
