using System.Net;
using System.Net.Http.Json;

namespace GrainVision.Service.Tests.Trials;

/// <summary>A trial from photos and a table to the record and the page, over HTTP and by the command line. Invented values.</summary>
public sealed class TrialTests
{
    [Fact]
    public async Task Trial_IsComparedRecordedAndShown()
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        var measured = await (await client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest)).Json();
        var perInch = measured.GetProperty("rings").GetProperty("perInch").GetProperty("value").GetDouble();
        var body = new
        {
            by = "a foreman",
            byHand = new[] { 0, 1, 2, 3 }.Select(k => new { piece = $"P {k}", quantity = "perInch", value = perInch - (0.1 * k) }),
            photos = new[] { 0, 1, 2, 3 }.Select(k => (object)new { piece = $"P {k}", photo = "end-1.png", measurement = measured.GetProperty("id").GetString() })
                .Append(new { piece = "P 0", photo = "end-2.png", refused = "scale-not-found" }),
        };
        var answer = await client.PostAsJsonAsync("/v1/trials", body);
        Assert.Equal(HttpStatusCode.Created, answer.StatusCode);
        var trial = await answer.Json();
        var quantity = Assert.Single(trial.GetProperty("report").GetProperty("quantities").EnumerateArray());
        Assert.Equal(0.15, quantity.GetProperty("bias").GetProperty("value").GetDouble(), 0.001);
        Assert.Equal(1, trial.GetProperty("report").GetProperty("refused").GetProperty("scale-not-found").GetInt32());

        var number = trial.GetProperty("entry").GetInt64();
        Assert.Equal(quantity.GetRawText(), (await (await client.GetAsync(answer.Headers.Location)).Json()).GetProperty("report").GetProperty("quantities")[0].GetRawText());
        Assert.Equal("trial", (await (await client.GetAsync($"/v1/log/{number}")).Json()).GetProperty("content").GetProperty("kind").GetString());
        Assert.Contains("\"isWhole\":true", await client.GetStringAsync("/v1/log/verification"), StringComparison.Ordinal);
        var page = await client.GetAsync(trial.GetProperty("page").GetString());
        Assert.Contains("<svg", await page.Content.ReadAsStringAsync(), StringComparison.Ordinal);
        Assert.Contains("style-src 'sha256-", page.Headers.GetValues("Content-Security-Policy").Single(), StringComparison.Ordinal);
        await (await client.GetAsync("/v1/trials/1/page")).IsProblem(404, "log-entry-unknown"); // entry 1 is no trial
    }

    [Theory]
    [InlineData("""{"by":"x","byHand":[],"photos":[{"piece":"P","photo":"p","refused":"c"}]}""", 422, "trial-unreadable")]
    [InlineData("""{"by":"x","byHand":[{"piece":"P","quantity":"colour","value":1}],"photos":[{"piece":"P","photo":"p","refused":"c"}]}""", 422, "trial-unreadable")]
    [InlineData("""{"by":"x","byHand":[null],"photos":[null]}""", 422, "trial-unreadable")]
    [InlineData("""{"by":"x","byHand":[{"piece":"P","quantity":"perInch","value":1}],"photos":[{"piece":"P","photo":"p"}]}""", 422, "trial-unreadable")]
    [InlineData("""{"by":"x","byHand":[{"piece":"P","quantity":"perInch","value":1}],"photos":[{"piece":"P","photo":"p","measurement":"no"}]}""", 404, "measurement-unknown")]
    [InlineData("""{"by":" ","byHand":[{"piece":"P","quantity":"perInch","value":1}],"photos":[{"piece":"P","photo":"p","refused":"c"}]}""", 422, "trial-unreadable")]
    public async Task Unfit_IsRefused_AndNothingIsRecorded(string json, int status, string code)
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        using var content = new StringContent(json, System.Text.Encoding.UTF8, "application/json");
        await (await client.PostAsync("/v1/trials", content)).IsProblem(status, code);
        Assert.Equal(0, (await (await client.GetAsync("/v1/log?kind=trial")).Json()).GetProperty("entries").GetArrayLength());
    }

    /// <summary>The command as the README has it: in this process, and through the service.</summary>
    [Fact]
    public async Task CommandLine_LocalAndRemote_GiveTheSameComparison()
    {
        using var folder = new TemporaryFolder();
        foreach (var piece in new[] { "P 1", "P 2" })
        {
            Directory.CreateDirectory(Path.Combine(folder.Path, "trial", piece));
            File.Copy(Calls.FixturePath("photos/drawn-end-piece-card-1-endA.jpg"), Path.Combine(folder.Path, "trial", piece, "end-1.jpg"));
        }

        var table = Path.Combine(folder.Path, "hand.csv");
        await File.WriteAllTextAsync(table, "piece,quantity,value\nP 1,perInch,12\nP 2,perInch,12.5\nP 2,width,100\n");
        string[] arguments = ["trial", Path.Combine(folder.Path, "trial"), "--by-hand", table, "--by", "a foreman", "--species", "sitka-spruce", "--json", Path.Combine(folder.Path, "t.json")];
        var local = await ServiceProcess.Run("grainvision.dll", [.. arguments, "--local", "--page", Path.Combine(folder.Path, "t.html")], null);
        Assert.True(local.ExitCode == 0, local.Errors);
        var first = await File.ReadAllTextAsync(Path.Combine(folder.Path, "t.json"));
        Assert.Contains("</html>", await File.ReadAllTextAsync(Path.Combine(folder.Path, "t.html")), StringComparison.Ordinal);

        await using var service = new RunningService();
        service.UseKestrel(0);
        service.StartServer();
        var remote = await ServiceProcess.Run("grainvision.dll", [.. arguments, "--server", service.ClientOptions.BaseAddress.ToString()], null);
        Assert.True(remote.ExitCode == 0, remote.Errors);
        Assert.Contains("of the log", remote.Output, StringComparison.Ordinal);
        Assert.Equal(first, await File.ReadAllTextAsync(Path.Combine(folder.Path, "t.json")));
    }
}
