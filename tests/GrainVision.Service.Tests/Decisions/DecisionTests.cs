using System.Net;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace GrainVision.Service.Tests.Decisions;

/// <summary>Decisions over HTTP: the rule decides, a person may be stricter, more lenient only as an override; nothing is ever edited.</summary>
public class DecisionTests(RunningService service) : IClassFixture<RunningService>
{
    /// <summary>What a person answers of the shop-order book without an instrument.</summary>
    private static readonly string[] ByHand = ["compression-and-decay", "spiral-grain"];

    private readonly HttpClient _client = service.CreateClient();

    [Fact]
    public async Task Rule_WithOnePhoto_HoldsAndSaysWhatToDo()
    {
        var id = await Measured();
        var decision = await Decided("p1", Request(id));
        Assert.Equal("rule", decision["decidedBy"]!.GetValue<string>());
        Assert.Contains(decision["verdict"]!.GetValue<string>(), new[] { "hold", "reject" });
        Assert.False(decision["override"]!.GetValue<bool>());
        Assert.Contains(decision["reasons"]!.AsArray(), r => r!["reason"]!["limitId"]!.GetValue<string>() == "all-faces");
        Assert.Equal("local", decision["who"]!.GetValue<string>());
        Assert.NotEmpty(decision["cautions"]!.AsArray());
        var again = await _client.GetStringAsync("/v1/decisions/" + decision["id"]);
        Assert.Equal(decision.ToJsonString(), JsonNode.Parse(again)!.ToJsonString());
    }

    [Fact]
    public async Task Person_MoreLenientThanTheRule_NeedsAnOverrideWithReason()
    {
        var id = await Measured();
        using (var plain = await Post("p2", Request(id, r => r["verdict"] = "accept")))
            await plain.IsProblem(422, "override-needed", "decision");
        using (var silent = await Post("p2", Request(id, r => (r["verdict"], r["override"]) = ("accept", true))))
            await silent.IsProblem(422, "reason-missing", "decision");
        var made = await Decided("p2", Request(id, r => (r["verdict"], r["override"], r["reason"], r["by"]) = ("accept", true, "Split a sliver: straight.", "A. Example")));
        Assert.True(made["override"]!.GetValue<bool>());
        Assert.Equal("accept", made["verdict"]!.GetValue<string>());
        Assert.NotEqual("accept", made["byRule"]!.GetValue<string>());
        Assert.Equal("A. Example", made["person"]!.GetValue<string>());
        var entry = JsonNode.Parse(await _client.GetStringAsync("/v1/log/" + made["entry"]))!;
        Assert.Equal("override", entry["content"]!["kind"]!.GetValue<string>());
        Assert.Equal("Split a sliver: straight.", entry["content"]!["why"]!.GetValue<string>());
    }

    [Fact]
    public async Task Override_WhereTheRuleSaysTheSame_IsRefused()
    {
        var id = await Measured();
        using var answer = await Post("p3", Request(id, r => (r["verdict"], r["override"], r["reason"]) = ("reject", true, "x")));
        await answer.IsProblem(422, "override-not-needed", "decision");
    }

    [Fact]
    public async Task Decision_InForce_IsSupersededByNameAndStaysOnRecord()
    {
        var first = await Decided("p4", Request(await Measured()));
        using (var blind = await Post("p4", Request(null)))
            await blind.IsProblem(409, "decision-not-current", "request");
        var second = await Decided("p4", Request(null, r => (r["verdict"], r["reason"], r["supersedes"]) = ("reject", "Decay at end B.", first["id"]!.GetValue<string>())));
        using (var late = await Post("p4", Request(null, r => r["supersedes"] = first["id"]!.GetValue<string>())))
            await late.IsProblem(409, "decision-not-current", "request");
        var all = JsonNode.Parse(await _client.GetStringAsync("/v1/pieces/p4/decisions"))!["decisions"]!.AsArray();
        Assert.Equal([second["id"]!.ToString(), first["id"]!.ToString()], all.Select(d => d!["id"]!.ToString()));
        Assert.Equal(second["id"]!.ToString(), all[1]!["supersededBy"]!.ToString());
        Assert.Null(all[0]!["supersededBy"]);
        foreach (var member in new[] { "verdict", "reasons", "at", "entrySha256" })
            Assert.Equal(first[member]!.ToJsonString(), all[1]![member]!.ToJsonString()); // what was decided is still there
    }

    [Fact]
    public async Task Key_Repeated_GivesTheFirstAnswerAndOneEntry()
    {
        var request = Request(await Measured());
        using var first = await Post("p5", request, "k1");
        using var second = await Post("p5", request, "k1");
        Assert.Equal(HttpStatusCode.Created, second.StatusCode);
        Assert.Equal(await first.Content.ReadAsStringAsync(), await second.Content.ReadAsStringAsync());
        using var other = await Post("p5", Request(null), "k1");
        await other.IsProblem(409, "idempotency-key-reused");
        Assert.Single(JsonNode.Parse(await _client.GetStringAsync("/v1/pieces/p5/decisions"))!["decisions"]!.AsArray());
    }

    [Fact]
    public async Task HandFindings_GoOnRecordWithTheDecisionAndCountLater()
    {
        var id = await Measured();
        var answered = new JsonArray([.. ByHand.Select(l => new JsonObject { ["limit"] = l, ["answer"] = "met", ["instrument"] = "eye and lens", ["by"] = "A. Example" })]);
        var first = await Decided("p6", Request(id, r => r["handMeasurements"] = answered));
        Assert.Equal(2, first["handMeasurements"]!.AsArray().Count);
        Assert.Equal(ByHand, first["reasons"]!.AsArray().Where(r => r!["reason"]!["outcome"]!.ToString() == "accept").Select(r => r!["reason"]!["limitId"]!.ToString()).Intersect(ByHand).Order());
        var second = await Decided("p6", Request(id, r => r["supersedes"] = first["id"]!.GetValue<string>()));
        Assert.Equal(first["handMeasurements"]!.ToJsonString(), second["handMeasurements"]!.ToJsonString());
        var entries = JsonNode.Parse(await _client.GetStringAsync("/v1/log?kind=handMeasurement&piece=p6"))!["entries"]!.AsArray();
        Assert.All(entries, e => Assert.Equal("eye and lens", e!["content"]!["body"]!["instrument"]!.ToString()));
    }

    [Theory]
    [InlineData("""{"limit":"x","answer":"met","instrument":"","by":"A"}""")]
    [InlineData("""{"quantity":"worstInch","value":7,"unit":"rings/in","measurement":"m","instrument":"rule","by":"A"}""")]
    [InlineData("""{"quantity":"worstInch","value":7,"plusMinus":0,"unit":"rings/in","measurement":"m","instrument":"rule","by":"A"}""")]
    [InlineData("""{"quantity":"worstInch","value":7,"plusMinus":0.2,"unit":"mm","measurement":"m","instrument":"rule","by":"A"}""")]
    [InlineData("""{"quantity":"worstInch","value":7,"plusMinus":0.2,"unit":"rings/in","instrument":"rule","by":"A"}""")]
    [InlineData("""{"quantity":"colour","value":7,"plusMinus":0.2,"unit":"mm","instrument":"rule","by":"A"}""")]
    [InlineData("""{"blemish":1,"is":"pretty","measurement":"m","instrument":"lens","by":"A"}""")]
    [InlineData("""{"limit":"x","answer":"met","quantity":"worstInch","instrument":"lens","by":"A"}""")]
    public async Task HandFinding_ThatSaysTooLittle_IsRefused(string finding)
    {
        using var answer = await Post("p7", Request(null, r => r["handMeasurements"] = new JsonArray(JsonNode.Parse(finding))));
        await answer.IsProblem(422, "decision-unreadable");
        Assert.Empty(JsonNode.Parse(await _client.GetStringAsync("/v1/log?piece=p7"))!["entries"]!.AsArray());
    }

    [Theory]
    [InlineData("""{"ruleBook":"shop-order","colour":1}""", 400, "body-unreadable")]
    [InlineData("""{"measurements":[]}""", 400, "body-unreadable")]
    [InlineData("not JSON", 400, "body-unreadable")]
    [InlineData("""{"ruleBook":"keel"}""", 404, "rule-book-unknown")]
    [InlineData("""{"ruleBook":"spar","measurements":["nothing"]}""", 404, "measurement-unknown")]
    [InlineData("""{"ruleBook":"spar","override":true}""", 422, "decision-unreadable")]
    public async Task Request_ThatCannotBeFollowed_IsRefused(string json, int status, string code)
    {
        using var answer = await Post("p8", json);
        await answer.IsProblem(status, code);
    }

    [Fact]
    public async Task Search_ByEveryFilter_PagesByKey()
    {
        for (var i = 0; i < 5; i++)
            await Decided($"s{i}", Request(null, r => (r["delivery"], r["species"], r["by"], r["verdict"]) = ("d-7", "red-spruce", "B. Example", "hold")));
        foreach (var filter in new[] { "delivery=d-7", "species=red-spruce", "person=B.%20Example", "delivery=d-7&limitId=all-faces", "delivery=d-7&rule=all-faces", "delivery=d-7&verdict=hold&use=shop-order&from=2020-01-01" })
            Assert.Equal(5, (await Page(filter)).Decisions.Count);
        Assert.Empty((await Page("delivery=d-7&to=2020-01-01")).Decisions);
        Assert.Empty((await Page("delivery=d-8")).Decisions);
        var (first, after) = await Page("delivery=d-7&limit=3");
        var (rest, none) = await Page($"delivery=d-7&limit=3&after={after}");
        Assert.Equal(["s4", "s3", "s2", "s1", "s0"], first.Concat(rest).Select(d => d!["piece"]!.ToString()));
        Assert.Null(none);
        using var misspelt = await _client.GetAsync("/v1/decisions?verdikt=hold");
        await misspelt.IsProblem(400, "query-unreadable");
    }

    [Fact]
    public async Task Log_OfAllThis_IsWhole()
    {
        await Decided("p9", Request(await Measured()));
        var found = JsonNode.Parse(await _client.GetStringAsync("/v1/log/verification?photos=true"))!;
        Assert.Null(found["problem"]);
        var lines = (await _client.GetStringAsync("/v1/log/export")).TrimEnd('\n').Split('\n');
        Assert.Equal(found["head"]!.GetValue<long>(), lines.Length);
        Assert.Contains(lines, l => JsonNode.Parse(l)!["content"]!["kind"]!.ToString() == "ruleBookVersion"); // the books that come with the program
        using var beyond = await _client.GetAsync("/v1/log/999999");
        await beyond.IsProblem(404, "log-entry-unknown");
    }

    private async Task<(JsonArray Decisions, string? After)> Page(string query)
    {
        var page = JsonNode.Parse(await _client.GetStringAsync("/v1/decisions?" + query))!;
        return (page["decisions"]!.AsArray(), page["after"]?.ToString());
    }

    private async Task<string> Measured()
    {
        using var answer = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest, "the-one-photo");
        return (await answer.Json()).GetProperty("id").GetString()!;
    }

    private static string Request(string? measurement, Action<JsonObject>? change = null)
    {
        var request = new JsonObject { ["ruleBook"] = "shop-order" };
        if (measurement is not null)
            request["measurements"] = new JsonArray(measurement);
        change?.Invoke(request);
        return request.ToJsonString();
    }

    private async Task<JsonNode> Decided(string piece, string json)
    {
        using var answer = await Post(piece, json);
        var text = await answer.Content.ReadAsStringAsync();
        Assert.True(answer.StatusCode == HttpStatusCode.Created, text);
        return JsonNode.Parse(text)!;
    }

    private async Task<HttpResponseMessage> Post(string piece, string json, string? key = null)
    {
        using var message = new HttpRequestMessage(HttpMethod.Post, $"/v1/pieces/{piece}/decisions") { Content = new StringContent(json, Encoding.UTF8, "application/json") };
        if (key is not null)
            message.Headers.Add("Idempotency-Key", key);
        return await _client.SendAsync(message);
    }
}
