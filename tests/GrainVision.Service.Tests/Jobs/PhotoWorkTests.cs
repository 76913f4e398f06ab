using System.Globalization;
using System.Security.Cryptography;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Records.Deliveries;
using GrainVision.Records.Photos;
using GrainVision.Service.Jobs;
using GrainVision.Service.Measurements;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using Wolverine.Runtime;

namespace GrainVision.Service.Tests.Jobs;

/// <summary>The work on photos of deliveries below HTTP: what older versions left in the queue, what is kept from sorting to measuring, who goes first.</summary>
public class PhotoWorkTests(RunningService service) : IClassFixture<RunningService>
{
    private readonly HttpClient _client = service.CreateClient();

    [Fact]
    public async Task StepsThatAnOlderVersionQueued_AreWorkedOff()
    {
        var id = await _client.Enter();
        var store = new ContentAddressedStore(Path.Combine(service.Folder, "photos"));
        var (end, face) = (store.Put(DeliveryCalls.EndWithCard), store.Put(DeliveryCalls.Face));
        var photos = service.Services.GetRequiredService<DeliveryPhotoStore>();
        var job = new StoredJob(Guid.NewGuid().ToString("N", CultureInfo.InvariantCulture), id, DateTimeOffset.UnixEpoch, "local");
        // As the older version did it: as many messages as photos, and none names one.
        await photos.TryAdd(job, [new ArrivedPhoto(end, "end.jpg", null), new ArrivedPhoto(face, "2-face1.jpg", null)], null, (_, steps) => Task.FromResult<Func<Task>>(async () =>
        {
            foreach (var _ in steps)
                await new MessageBus(service.Services.GetRequiredService<IWolverineRuntime>()).PublishAsync(new ScanStep(id));
        }));
        await _client.Done("/v1/jobs/" + job.Id);
        Assert.Equal(2, photos.OfDelivery(id).Count);
        Assert.All(photos.OfDelivery(id), p => Assert.True(p.State == PhotoState.Measured, $"{p.FileName}: {p.State} {p.Problem?.Code}"));
    }

    /// <summary>A file that was changed in the store may be the disk's mistake: the engine brings the step once more, and then it is set aside.</summary>
    [Fact]
    public async Task StepThatFails_IsBroughtAgainByTheEngineOnce()
    {
        var id = await _client.Enter();
        var store = new ContentAddressedStore(Path.Combine(service.Folder, "photos"));
        var changed = store.Put([.. DeliveryCalls.Face, 0]);
        await File.WriteAllBytesAsync(Path.Combine(service.Folder, "photos", changed[..2], changed[2..]), DeliveryCalls.NoPhoto);
        using var log = new FailureLog(changed);
        service.Services.GetRequiredService<ILoggerFactory>().AddProvider(log);
        var photos = service.Services.GetRequiredService<DeliveryPhotoStore>();
        var job = new StoredJob(Guid.NewGuid().ToString("N", CultureInfo.InvariantCulture), id, DateTimeOffset.UnixEpoch, "local");
        await photos.TryAdd(job, [new ArrivedPhoto(changed, "1-face1.jpg", null)], null, service.Services.GetRequiredService<Enqueue>());
        await _client.Done("/v1/jobs/" + job.Id);
        var photo = Assert.Single(photos.OfDelivery(id));
        Assert.Equal((PhotoState.SetAside, RefusalCatalog.PhotoLost.Code, false), (photo.State, photo.Problem?.Code, photo.InHand));
        Assert.Equal(2, log.Failures);
    }

    [Theory]
    [InlineData("photos/drawn-end-piece-card-1-endA.jpg")]
    [InlineData("photos/drawn-two-piece-cards.jpg")]
    [InlineData("photos/ring-closeup.png")] // no card
    public void Photo_MeasuredWithTheCardsKeptFromSorting_GivesTheSameAnswer(string photo)
    {
        var bytes = Calls.Fixture(photo);
        Assert.True(PhotoInHand.Open(bytes, IntakeLimits.Default, CancellationToken.None).TryGet(out var sorted, out _));
        using (sorted)
        {
            sorted.ReadPieceCard(CancellationToken.None);
            var kept = JsonSerializer.Serialize(sorted.FindCards(CancellationToken.None), ContractJson.Options);
            var request = new MeasuringRequest { View = View.End };
            var fresh = Essence(PhotoJob.Run(bytes, request, null, CancellationToken.None));
            Assert.Equal(fresh, Essence(PhotoJob.Run(sorted, request, null, CancellationToken.None)));
            Assert.True(PhotoInHand.Open(bytes, IntakeLimits.Default, CancellationToken.None, JsonSerializer.Deserialize<CardFindings>(kept, ContractJson.Options)).TryGet(out var again, out _));
            using (again)
                Assert.Equal(fresh, Essence(PhotoJob.Run(again, request, null, CancellationToken.None)));
        }
    }

    [Fact]
    public async Task FreePlace_GoesToACallerBeforeWorkThatNobodyWaitsFor()
    {
        var workers = new MeasuringWorkers(Options.Create(new WorkOptions { Workers = 1, Queue = 4 }), TimeProvider.System);
        using var gate = new ManualResetEventSlim();
        var order = new List<string>();
        var first = workers.Run<string>(stop => gate.Wait(TimeSpan.FromSeconds(30), stop) ? "first" : "late", CancellationToken.None);
        var background = workers.RunInBackground<string>(_ => Note("background"), CancellationToken.None);
        using var gone = new CancellationTokenSource();
        var left = workers.RunInBackground<string>(_ => Note("gone"), gone.Token);
        var caller = workers.Run<string>(_ => Note("caller"), CancellationToken.None);
        await gone.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => left);
        gate.Set();
        await Task.WhenAll(first, background, caller);
        Assert.Equal(["caller", "background"], order);

        string Note(string who)
        {
            lock (order)
                order.Add(who);
            return who;
        }
    }

    /// <summary>Counts what the runner logs of one photo.</summary>
    private sealed class FailureLog(string sha256) : ILoggerProvider, ILogger
    {
        public int Failures { get; private set; }

        public ILogger CreateLogger(string categoryName) => categoryName.EndsWith(".PhotoJobRunner", StringComparison.Ordinal) ? this : NullLogger.Instance;

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
        {
            if (state is IEnumerable<KeyValuePair<string, object?>> values && values.Any(v => Equals(v.Value, sha256)))
                Failures++;
        }

        public void Dispose()
        {
        }
    }

    private static string Essence(Outcome<MeasuredPhoto> outcome) => outcome.TryGet(out var measured, out var refusal)
        ? JsonSerializer.Serialize(measured.Measurement with { TimingsMs = new Dictionary<string, double>() }, ContractJson.Options) + Convert.ToHexString(SHA256.HashData(measured.PictureBytes))
        : refusal.Code;
}
