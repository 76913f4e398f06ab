using System.Collections.Concurrent;
using System.Net;
using System.Text;
using System.Text.Json.Nodes;

namespace GrainVision.Crash.Tests;

/// <summary>kill -9 while clients are being answered: what a client has an answer for is in the log, and the chain is whole.</summary>
public sealed class KillTests : IDisposable
{
    /// <summary>3: kills; each at another moment of the work.</summary>
    private const int Kills = 3;

    private readonly string _folder = Directory.CreateTempSubdirectory("grainvision-crash-").FullName;

    /// <summary>Address of everything that a client was told is recorded, with the very answer.</summary>
    private readonly ConcurrentDictionary<string, string> _answered = new();

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task Kill_WhileAnswering_LosesNothingThatWasAnswered()
    {
        var random = new Random(20261125);
        for (var kill = 0; kill < Kills; kill++)
        {
            using var service = await KilledService.Start(_folder);
            await IsAllThere(service.Client);
            using var stop = new CancellationTokenSource();
            var (before, measured) = (_answered.Count, Measured());
            Task[] clients = [Measure(service.Client, stop.Token), .. Enumerable.Range(0, 4).Select(i => Decide(service.Client, $"{kill}-{i}", stop.Token))];
            await Until(() => _answered.Count > before + 20 && Measured() > measured);
            await Task.Delay(random.Next(50, 600));
            await service.Kill();
            await stop.CancelAsync();
            await Task.WhenAll(clients);
        }

        using var last = await KilledService.Start(_folder);
        await IsAllThere(last.Client);
        Assert.True(Measured() >= Kills && _answered.Count > Measured()); // both kinds were under way
        await last.Kill();
    }

    private async Task IsAllThere(HttpClient client)
    {
        foreach (var (address, answer) in _answered)
            Assert.Equal(answer, await client.GetStringAsync(address));
        var found = JsonNode.Parse(await client.GetStringAsync("/v1/log/verification?photos=true"))!;
        Assert.Null(found["problem"]);
        Assert.True(found["entries"]!.GetValue<long>() >= _answered.Count);
    }

    private async Task Measure(HttpClient client, CancellationToken stop)
    {
        var photo = await File.ReadAllBytesAsync(Fixture("photos/ring-closeup.png"), CancellationToken.None);
        await Repeat(async _ =>
        {
            using var form = new MultipartFormDataContent
            {
                { new ByteArrayContent(photo), "photo", "photo.png" },
                { new StringContent("""{"view":"end","outline":[[0,0],[679,0],[679,416],[0,416]],"scale":{"kind":"pitch","pixelsPerMm":20}}"""), "request" },
            };
            return await client.PostAsync("/v1/measurements", form, stop);
        }, stop);
    }

    private Task Decide(HttpClient client, string name, CancellationToken stop) => Repeat(async i =>
    {
        using var body = new StringContent($$"""{"ruleBook":"spar","handMeasurements":[{"limit":"faces-shown","answer":"met","instrument":"eye","by":"A. Example"}]}""", Encoding.UTF8, "application/json");
        return await client.PostAsync($"/v1/pieces/{name}-{i}/decisions", body, stop);
    }, stop);

    /// <summary>One request after the other until the service is gone; only whole answers count.</summary>
    private async Task Repeat(Func<int, Task<HttpResponseMessage>> call, CancellationToken stop)
    {
        for (var i = 0; !stop.IsCancellationRequested; i++)
        {
            try
            {
                using var answer = await call(i);
                var text = await answer.Content.ReadAsStringAsync(stop);
                Assert.True(answer.StatusCode is HttpStatusCode.OK or HttpStatusCode.Created, text);
                _answered[answer.Headers.Location!.ToString()] = text;
            }
            catch (Exception e) when (e is HttpRequestException or IOException or OperationCanceledException)
            {
                return; // killed before it answered
            }
        }
    }

    private int Measured() => _answered.Keys.Count(k => k.StartsWith("/v1/measurements/", StringComparison.Ordinal));

    private static async Task Until(Func<bool> done)
    {
        for (var i = 0; !done() && i < 2_400; i++) // two minutes: the machine may be busy with other things
            await Task.Delay(50);
        Assert.True(done(), "The service answers too little to be killed at work.");
    }

    private static string Fixture(string path)
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder!.FullName, "GrainVision.sln")))
            folder = folder.Parent;
        return Path.Combine(folder.FullName, "fixtures", path);
    }
}
