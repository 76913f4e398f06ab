using System.Net.Http.Json;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace GrainVision.Service.Tests.Measurements;

/// <summary>The unit of the rule: assumed, told with the request, or set once for the shop and recorded with every request that leaves it open.</summary>
public class RuleUnitTests
{
    private const string Photo = "photos/drawn-end-mm-rule.jpg";

    private static readonly Dictionary<string, string> Metric = new() { ["GrainVision:Scale:RuleUnit"] = "mm" };

    [Fact]
    public async Task Measure_RuleWithoutItsUnit_IsHeldForIt()
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        var m = await Measured(client, """{"view":"end","species":"sitka-spruce","ruleBook":"spar"}""");
        Assert.Equal("assumed", m.GetProperty("scale").GetProperty("unitBasis").GetString());
        Assert.Contains(Limits(m), l => l == "rule-unit");
        Assert.NotEqual("accept", m.GetProperty("verdict").GetProperty("outcome").GetString());
        var told = await Measured(client, """{"view":"end","species":"sitka-spruce","ruleBook":"spar","scale":{"kind":"auto","ruleUnit":"mm"}}""");
        Assert.Equal("told", told.GetProperty("scale").GetProperty("unitBasis").GetString());
        Assert.DoesNotContain(Limits(told), l => l == "rule-unit");
    }

    [Theory]
    [InlineData("""{"view":"end"}""", """{"kind":"auto","ruleUnit":"mm"}""")]
    [InlineData("""{"view":"end","scale":{"kind":"auto","remark":1}}""", """{"kind":"auto","remark":1,"ruleUnit":"mm"}""")]
    [InlineData("""{"view":"end","scale":{"kind":"rule"}}""", """{"kind":"rule","unit":"mm"}""")]
    public async Task ShopsUnit_IsToldRecordedAndReplayed(string request, string recorded)
    {
        await using var service = new RunningService(Metric);
        using var client = service.CreateClient();
        var m = await Measured(client, request);
        Assert.Equal("told", m.GetProperty("scale").GetProperty("unitBasis").GetString());
        var id = m.GetProperty("id").GetString();
        using var log = await client.GetAsync("/v1/log");
        var entry = (await log.Json()).GetProperty("entries").EnumerateArray().Select(e => e.GetRawText()).Single(e => e.Contains(id!, StringComparison.Ordinal));
        Assert.Contains(recorded, entry.Replace("\\", "", StringComparison.Ordinal), StringComparison.Ordinal);
        using var replay = await client.PostAsync($"/v1/measurements/{id}/replay", null);
        Assert.True(JsonNode.Parse(await replay.Content.ReadAsStringAsync())!["same"]!.GetValue<bool>());
    }

    [Fact]
    public async Task ShopsUnit_ARequestThatSaysAnother_IsTakenAtItsWord()
    {
        await using var service = new RunningService(Metric);
        using var client = service.CreateClient();
        using var answer = await client.Measure(Calls.Fixture(Photo), """{"view":"end","scale":{"kind":"rule","unit":"inch"}}""");
        await answer.IsProblem(422, "rule-unit-contradicts", "scale");
    }

    private static async Task<JsonElement> Measured(HttpClient client, string request)
    {
        using var answer = await client.Measure(Calls.Fixture(Photo), request);
        Assert.True(answer.IsSuccessStatusCode, await answer.Content.ReadAsStringAsync());
        return await answer.Json();
    }

    private static List<string?> Limits(JsonElement m) => [.. m.GetProperty("verdict").GetProperty("reasons").EnumerateArray().Select(r => r.GetProperty("limitId").GetString())];
}
