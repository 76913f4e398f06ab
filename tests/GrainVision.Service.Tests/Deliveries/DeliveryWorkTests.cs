using System.Diagnostics;
using System.IO.Pipelines;
using System.Net;
using System.Text;
using GrainVision.Grading.Refusals;
using GrainVision.Service.Measurements;
using Microsoft.Extensions.DependencyInjection;

namespace GrainVision.Service.Tests.Deliveries;

/// <summary>A service with one worker and one upload at a time, whose listeners hear from it every second.</summary>
public sealed class OneAtATimeService() : RunningService(new()
{
    ["GrainVision:Work:Workers"] = "1",
    ["GrainVision:Deliveries:Uploads"] = "1",
    ["GrainVision:Deliveries:LongestSilenceSeconds"] = "1",
});

/// <summary>Deliveries while they are being worked on: listeners, a full house, decisions that come too soon.</summary>
public class DeliveryWorkTests(OneAtATimeService service) : IClassFixture<OneAtATimeService>
{
    private readonly HttpClient _client = service.CreateClient();

    [Fact]
    public async Task Listener_HearsEveryPhotoOnceAndThenTheEnd()
    {
        var id = await _client.Enter();
        using var sent = await _client.Send(id, ("a.jpg", Encoding.ASCII.GetBytes("one")), ("b.jpg", Encoding.ASCII.GetBytes("two")), ("c.jpg", Encoding.ASCII.GetBytes("three")));
        var text = await Listen(sent.Headers.Location + "/events", null);
        Assert.Equal(3, Count(text, "event: photo"));
        Assert.Equal(1, Count(text, "event: done"));
        Assert.True(text.LastIndexOf("event: done", StringComparison.Ordinal) > text.LastIndexOf("event: photo", StringComparison.Ordinal));
        Assert.All(["id: 1", "id: 2", "id: 3"], n => Assert.Contains(n, text, StringComparison.Ordinal));

        var rest = await Listen(sent.Headers.Location + "/events", "2"); // saw the first two
        Assert.Equal((1, 1), (Count(rest, "event: photo"), Count(rest, "event: done")));
        Assert.Equal(3, Count(await Listen(sent.Headers.Location + "/events", "nonsense"), "event: photo"));
    }

    [Fact]
    public async Task WhileAPhotoWaits_ListenersAreToldSoAndDecisionsMustWait()
    {
        var id = await _client.Enter();
        using var release = new ManualResetEventSlim();
        var started = new TaskCompletionSource();
        // Somebody else's photo has the only worker.
        var busy = service.Services.GetRequiredService<MeasuringWorkers>().Run<string>(
            stop =>
            {
                started.SetResult();
                release.Wait(stop);
                return "done";
            },
            CancellationToken.None);
        await started.Task;
        using var sent = await _client.Send(id, ("1-face1.jpg", DeliveryCalls.Face));
        using (var early = await _client.Post($"/v1/pieces/{id}-1/decisions", DeliveryCalls.Json("""{"ruleBook":"spar"}""")))
            await early.IsProblem(409, "piece-at-work", "decision");

        using var events = await _client.GetAsync(sent.Headers.Location + "/events", HttpCompletionOption.ResponseHeadersRead);
        Assert.Equal("text/event-stream", events.Content.Headers.ContentType!.MediaType);
        using var lines = new StreamReader(await events.Content.ReadAsStreamAsync());
        var progress = 0;
        while (progress < 3) // nothing happens, yet the line does not fall silent
            progress += await lines.ReadLineAsync().WaitAsync(TimeSpan.FromSeconds(30)) == "event: progress" ? 1 : 0;
        release.Set();
        Assert.NotNull((await busy).Found);
        var rest = await lines.ReadToEndAsync().WaitAsync(TimeSpan.FromSeconds(60));
        Assert.Equal((1, 1), (Count(rest, "event: photo"), Count(rest, "event: done")));
        using var decided = await _client.Post($"/v1/pieces/{id}-1/decisions", DeliveryCalls.Json("""{"ruleBook":"spar"}"""));
        Assert.Equal(HttpStatusCode.Created, decided.StatusCode);
    }

    [Fact]
    public async Task Uploads_MoreThanMayBeReceivedAtOnce_AreTurnedAway()
    {
        var id = await _client.Enter();
        var pipe = new Pipe();
        using var slow = new StreamContent(pipe.Reader.AsStream());
        slow.Headers.TryAddWithoutValidation("Content-Type", "multipart/form-data; boundary=cut");
        await pipe.Writer.WriteAsync(Encoding.ASCII.GetBytes("--cut\r\nContent-Disposition: form-data; name=\"photos\"; filename=\"a.jpg\"\r\n\r\n" + new string('x', 1_000)));
        using var plain = service.CreateClient(new() { AllowAutoRedirect = false }); // the usual client reads a body to its end before it sends it
        var first = plain.Post($"/v1/deliveries/{id}/photos", slow);
        var waited = Stopwatch.StartNew();
        while (Directory.GetFiles(Path.Combine(service.Folder, "photos", "incoming")).Length == 0) // until the slow one is being received
        {
            Assert.True(waited.Elapsed < TimeSpan.FromSeconds(30), "The upload never began.");
            await Task.Delay(20);
        }

        using (var answer = await _client.Send(id, ("b.jpg", [1, 2])))
        {
            await answer.IsProblem(429, "busy", "service");
            Assert.NotNull(answer.Headers.RetryAfter);
        }

        await pipe.Writer.WriteAsync(Encoding.ASCII.GetBytes("\r\n--cut--\r\n"));
        await pipe.Writer.CompleteAsync();
        using var taken = await first;
        Assert.Equal(HttpStatusCode.Accepted, taken.StatusCode);
        await _client.Done(taken.Headers.Location!.ToString());
        Assert.Equal(HttpStatusCode.Accepted, (await _client.Send(id, ("b.jpg", [1, 2]))).StatusCode); // the place is free again
    }

    private async Task<string> Listen(string path, string? lastSeen)
    {
        using var ask = new HttpRequestMessage(HttpMethod.Get, path);
        if (lastSeen is not null)
            ask.Headers.TryAddWithoutValidation("Last-Event-ID", lastSeen);
        using var answer = await _client.SendAsync(ask);
        return await answer.Content.ReadAsStringAsync();
    }

    private static int Count(string text, string what) => text.Split('\n').Count(l => l.Trim() == what);
}
