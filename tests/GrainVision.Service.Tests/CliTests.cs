using System.Text.Json;

namespace GrainVision.Service.Tests;

/// <summary>The command line as a shell runs it: exit codes, tables, and the service over a real socket.</summary>
public class CliTests
{
    private static readonly string[] Rings =
        ["measure", Calls.FixturePath(Calls.RingsPhoto), "--view", "end", "--species", "white-spruce", "--outline", "0,0 679,0 679,416 0,416", "--pitch", "20"];

    [Fact]
    public async Task Measure_LocalWithoutRuleBook_PrintsTheNumbersAndSucceeds()
    {
        var ended = await Run([.. Rings, "--local"]);
        Assert.True(ended.ExitCode == 0, ended.Errors);
        Assert.Contains("Rings per inch", ended.Output, StringComparison.Ordinal);
        Assert.Contains("Cautions", ended.Output, StringComparison.Ordinal);
        Assert.Empty(ended.Errors);
    }

    [Fact]
    public async Task Measure_LocalJson_IsTheContract()
    {
        using var folder = new TemporaryFolder();
        var picture = Path.Combine(folder.Path, "p.jpg");
        var ended = await Run([.. Rings, "--local", "--json", "--picture", picture, "--rule-book", "shop-order"]);
        using var measurement = JsonDocument.Parse(ended.Output);
        var outcome = measurement.RootElement.GetProperty("verdict").GetProperty("outcome").GetString();
        Assert.Equal(outcome switch { "accept" => 0, "hold" => 2, _ => 3 }, ended.ExitCode);
        Assert.True(new FileInfo(picture).Length > 5_000);
    }

    [Fact]
    public async Task Measure_ThroughTheService_GivesTheSameNumbersAndARecord()
    {
        await using var service = new RunningService();
        service.UseKestrel(0);
        service.StartServer();
        var server = service.ClientOptions.BaseAddress.ToString();
        var remote = await Run([.. Rings, "--json", "--server", server]);
        var local = await Run([.. Rings, "--json", "--local"]);
        Assert.True(remote.ExitCode == 0, remote.Errors);
        using var a = JsonDocument.Parse(remote.Output);
        using var b = JsonDocument.Parse(local.Output);
        Assert.Equal(a.RootElement.GetProperty("rings").GetRawText(), b.RootElement.GetProperty("rings").GetRawText());
        Assert.Equal(32, a.RootElement.GetProperty("id").GetString()!.Length);
        Assert.Equal("", b.RootElement.GetProperty("id").GetString());
    }

    [Fact]
    public async Task Measure_ServiceThatAsksForAKey_GetsIt()
    {
        const string key = "yard-key-0123456789-abcdefgh";
        await using var service = new RunningService(new() { ["GrainVision:Guard:ApiKeys:0:Name"] = "yard", ["GrainVision:Guard:ApiKeys:0:Key"] = key });
        service.UseKestrel(0);
        service.StartServer();
        var server = service.ClientOptions.BaseAddress.ToString();
        var without = await Run([.. Rings, "--server", server]);
        Assert.Equal(1, without.ExitCode);
        Assert.Contains("api-key-missing", without.Errors, StringComparison.Ordinal);
        var with = await Run([.. Rings, "--server", server, "--api-key", key]);
        Assert.True(with.ExitCode == 0, with.Errors);
    }

    [Fact]
    public async Task Measure_NoServiceThere_FailsAndSaysWhatToDo()
    {
        var ended = await Run([.. Rings, "--server", "http://127.0.0.1:9"]); // 9: discard, where nothing answers
        Assert.Equal(1, ended.ExitCode);
        Assert.Contains("--local", ended.Errors, StringComparison.Ordinal);
        Assert.Empty(ended.Output);
    }

    [Fact]
    public async Task Measure_RefusedPhoto_FailsWithTheReason()
    {
        var ended = await Run(["measure", Calls.FixturePath("registry.json"), "--view", "end", "--local"]);
        Assert.Equal(1, ended.ExitCode);
        Assert.Contains("photo-format-not-supported", ended.Errors, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--pitch", "twelve")]
    [InlineData("--points", "1,2,3")]
    [InlineData("--outline-size", "150")]
    [InlineData("--scale", "cubit")]
    [InlineData("--view", "roof")]
    public async Task Measure_WrongOption_Fails(string option, string value)
    {
        var ended = await Run(["measure", Calls.FixturePath(Calls.RingsPhoto), "--local", .. option == "--view" ? Array.Empty<string>() : ["--view", "end"], option, value]);
        Assert.Equal(1, ended.ExitCode);
        Assert.True(ended.Errors.Contains(option, StringComparison.Ordinal) || ended.Errors.Contains(value, StringComparison.Ordinal), ended.Errors);
    }

    [Fact]
    public async Task Measure_InAFrenchShell_WritesTheSameNumbers()
    {
        var french = await Run([.. Rings, "--local", "--json"], new() { ["LC_ALL"] = "fr_FR.UTF-8", ["LANG"] = "fr_FR.UTF-8" });
        var plain = await Run([.. Rings, "--local", "--json"]);
        using var a = JsonDocument.Parse(french.Output);
        using var b = JsonDocument.Parse(plain.Output);
        Assert.Equal(a.RootElement.GetProperty("rings").GetRawText(), b.RootElement.GetProperty("rings").GetRawText());
        Assert.Equal(a.RootElement.GetProperty("pictureAltText").GetRawText(), b.RootElement.GetProperty("pictureAltText").GetRawText());
    }

    [Fact]
    public async Task RuleBooks_Local_AreThoseOfTheProgramWithTheirSources()
    {
        var list = await Run(["rule-books", "--local"]);
        Assert.Equal(0, list.ExitCode);
        Assert.Contains("cap-strip", list.Output, StringComparison.Ordinal);
        var one = await Run(["rule-books", "spar", "--local"]);
        Assert.Contains("ANC-19", one.Output, StringComparison.Ordinal);
        Assert.Equal(1, (await Run(["rule-books", "keel", "--local"])).ExitCode);
    }

    [Fact]
    public async Task RuleBooks_OfTheService_AreItsOwn()
    {
        await using var service = new RunningService();
        service.UseKestrel(0);
        service.StartServer();
        using var client = service.CreateClient();
        var book = System.Text.Json.Nodes.JsonNode.Parse(await client.GetStringAsync("/v1/rule-books/spar"))!;
        book["id"] = "rib";
        using var put = await client.PutAsync("/v1/rule-books/rib", new StringContent(book.ToJsonString(), System.Text.Encoding.UTF8, "application/json"));
        var server = service.ClientOptions.BaseAddress.ToString();
        Assert.Contains("rib ", (await Run(["rule-books", "--server", server])).Output, StringComparison.Ordinal);
        Assert.Contains("ANC-19", (await Run(["rule-books", "rib", "--server", server])).Output, StringComparison.Ordinal);
        var unknown = await Run(["rule-books", "keel", "--server", server]);
        Assert.Equal(1, unknown.ExitCode);
        Assert.Contains("rule-book-unknown", unknown.Errors, StringComparison.Ordinal);
    }

    private static Task<ServiceProcess.Ended> Run(IEnumerable<string> arguments, Dictionary<string, string>? environment = null) =>
        ServiceProcess.Run("grainvision.dll", arguments, environment);
}
