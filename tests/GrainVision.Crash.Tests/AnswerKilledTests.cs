using System.Text;
using System.Text.Json;

namespace GrainVision.Crash.Tests;

/// <summary>Whatever was answered to a client is on record, whenever the process dies.</summary>
public class AnswerKilledTests
{
    private const int Rounds = 3;

    private static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(60);

    private const string Request =
        """{"view":"end","species":"white-spruce","outline":[[0,0],[679,0],[679,416],[0,416]],"scale":{"kind":"pitch","pixelsPerMm":20}}""";

    [Fact]
    public async Task Answers_ServiceKilledWhileAnswering_AreAllInTheLog()
    {
        using var service = new MortalService();
        var (measurements, decisions) = (new List<string>(), new List<string>());
        for (var round = 0; round < Rounds; round++)
        {
            await service.Start();
            var clients = new[] { Ask(() => Measure(service), measurements), Ask(() => Decide(service), decisions) };
            var before = measurements.Count;
            var waited = System.Diagnostics.Stopwatch.StartNew();
            while (measurements.Count < before + 2 && waited.Elapsed < LongestWait)
                await Task.Delay(10);
            // Other lengths each round, so that the kill falls at other places of an answer.
            await Task.Delay(97 * round);
            service.Kill();
            await Task.WhenAll(clients);
        }

        await service.Start();
        Assert.True(measurements.Count > 0 && decisions.Count > 0, $"Nothing was answered: {measurements.Count} measurements, {decisions.Count} decisions.");
        foreach (var id in measurements)
            Assert.True((await service.Client.GetAsync($"/v1/measurements/{id}")).IsSuccessStatusCode, $"Measurement {id} was answered and is gone.");
        foreach (var id in decisions)
            Assert.True((await service.Client.GetAsync($"/v1/decisions/{id}")).IsSuccessStatusCode, $"Decision {id} was answered and is gone.");
        var log = await service.Client.GetStringAsync("/v1/log/export");
        Assert.All(measurements.Concat(decisions), id => Assert.Contains(id, log, StringComparison.Ordinal));
        Assert.Contains("\"isWhole\":true", await service.Client.GetStringAsync("/v1/log/verification"), StringComparison.Ordinal);
    }

    /// <summary>Asks again and again until the service is gone; notes the id of every answer.</summary>
    private static async Task Ask(Func<Task<HttpResponseMessage>> call, List<string> answered)
    {
        while (true)
        {
            try
            {
                using var answer = await call();
                if (!answer.IsSuccessStatusCode)
                    continue;
                using var json = JsonDocument.Parse(await answer.Content.ReadAsStringAsync());
                answered.Add(json.RootElement.GetProperty("id").GetString()!);
            }
            catch (Exception e) when (e is HttpRequestException or IOException or JsonException)
            {
                return;
            }
        }
    }

    private static async Task<HttpResponseMessage> Measure(MortalService service)
    {
        using var form = new MultipartFormDataContent
        {
            { new ByteArrayContent(await File.ReadAllBytesAsync(Photo())), "photo", "rings.png" },
            { new StringContent(Request), "request" },
        };
        return await service.Client.PostAsync("/v1/measurements", form);
    }

    private static Task<HttpResponseMessage> Decide(MortalService service) => service.Client.PostAsync(
        $"/v1/pieces/crash-{Guid.NewGuid():N}/decisions", new StringContent("""{"ruleBook":"spar"}""", Encoding.UTF8, "application/json"));

    private static string Photo()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder!.FullName, "GrainVision.sln")))
            folder = folder.Parent;
        return Path.Combine(folder.FullName, "fixtures", "photos", "ring-closeup.png");
    }
}
