using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using GrainVision.Records.Schema;
using Microsoft.Extensions.DependencyInjection;

namespace GrainVision.Service.Tests.Measurements;

/// <summary>Looking back changes nothing and finds every difference.</summary>
public class ReplayTests(RunningService service) : IClassFixture<RunningService>
{
    private readonly HttpClient _client = service.CreateClient();

    [Theory]
    [InlineData(Calls.RingsPhoto, Calls.RingsRequest)]
    [InlineData(Calls.FacePhoto, Calls.FaceRequest)]
    public async Task Replay_WithTheSameVersions_IsByteForByteTheSame(string photo, string request)
    {
        var id = await Measured(photo, request);
        var head = await Head();
        var answer = await Replayed(id);
        Assert.True(answer["same"]!.GetValue<bool>(), answer.ToJsonString());
        Assert.Empty(answer["versions"]!.AsArray());
        Assert.Empty(answer["differences"]!.AsArray());
        Assert.Equal(head, await Head());
    }

    [Fact]
    public async Task Replay_OfAFormWithPartsThatWereIgnored_IsTheSameToo()
    {
        using var form = Calls.Form(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest.Replace("\"view\"", "\"colour\":1,\"view\"", StringComparison.Ordinal));
        form.Add(new StringContent("x"), "remark");
        using var measured = await _client.PostAsync("/v1/measurements", form);
        var answer = await Replayed((await measured.Json()).GetProperty("id").GetString()!);
        Assert.True(answer["same"]!.GetValue<bool>(), answer.ToJsonString());
    }

    [Fact]
    public async Task Replay_OfANumberThatWasAnother_NamesItAndTheVersions()
    {
        var id = await Measured(Calls.RingsPhoto, Calls.RingsRequest);
        // As if an older pipeline had measured it; the record's own database, which only this test may write to.
        var database = service.Services.GetRequiredService<RecordsDatabase>();
        using (var connection = database.Connect())
        using (var command = connection.CreateCommand())
        {
            command.CommandText = """
                DROP TRIGGER measurements_are_not_edited; DROP TRIGGER log_is_not_edited;
                UPDATE measurements SET measurement_json = json_set(measurement_json, '$.rings.count', 7) WHERE id = $id;
                UPDATE log SET content = json_set(content, '$.versions.pipeline', '0.9.0') WHERE measurement = $id;
                """;
            command.Parameters.AddWithValue("$id", id);
            command.ExecuteNonQuery();
        }

        var answer = await Replayed(id);
        Assert.False(answer["same"]!.GetValue<bool>());
        Assert.True(answer["pictureSame"]!.GetValue<bool>());
        Assert.Equal("rings.count", answer["differences"]![0]!["path"]!.ToString());
        Assert.Equal("7", answer["differences"]![0]!["recorded"]!.ToString());
        Assert.Equal("0.9.0", answer["versions"]![0]!["recorded"]!.ToString());
    }

    [Fact]
    public async Task Replay_Unknown_IsRefused()
    {
        using var answer = await _client.PostAsync("/v1/measurements/nothing/replay", null);
        await answer.IsProblem(404, "measurement-unknown");
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task WhatIf_AnotherRuleBook_ListsTheVerdictsThatWouldChangeAndChangesNone(bool remeasure)
    {
        var id = await Measured(Calls.RingsPhoto, Calls.RingsRequest);
        var recorded = JsonNode.Parse(await _client.GetStringAsync("/v1/measurements/" + id))!["verdict"]!["outcome"]!.ToString();
        Assert.NotEqual("reject", recorded);
        var (head, shelf) = (await Head(), await _client.GetStringAsync("/v1/rule-books"));
        // A book of one limit that no end meets.
        var answer = await WhatIf(new JsonObject { ["ruleBook"] = await RingsBook(190, 200), ["remeasure"] = remeasure, ["view"] = "end", ["limit"] = 10 });
        Assert.Equal("shop-order 99", answer["ruleBook"]!.ToString());
        var change = answer["changed"]!.AsArray().Single(c => c!["measurement"]!.ToString() == id)!;
        Assert.Equal((recorded, "reject"), (change["recorded"]!.ToString(), change["now"]!.ToString()));
        Assert.NotEmpty(change["because"]!.AsArray());
        Assert.Equal(answer["looked"]!.GetValue<int>(), answer["same"]!.GetValue<int>() + answer["changed"]!.AsArray().Count);
        Assert.Equal((head, shelf), (await Head(), await _client.GetStringAsync("/v1/rule-books")));
    }

    [Fact]
    public async Task WhatIf_ABookThatSaysTheSame_ListsNothing()
    {
        await Measured(Calls.RingsPhoto, Calls.RingsRequest);
        var answer = await WhatIf(new JsonObject { ["ruleBook"] = new JsonObject { ["id"] = "shop-order" }, ["judgedBy"] = "shop-order" });
        Assert.Empty(answer["changed"]!.AsArray());
        Assert.True(answer["same"]!.GetValue<int>() > 0);
    }

    [Theory]
    [InlineData("{}", 422, "what-if-unreadable")]
    [InlineData("""{"ruleBook":"spar"}""", 422, "rule-book-unreadable")]
    [InlineData("""{"ruleBook":{"id":"spar","version":77}}""", 404, "rule-book-unknown")]
    [InlineData("""{"remeasure":true,"limit":21}""", 422, "what-if-unreadable")]
    [InlineData("""{"colour":1}""", 400, "body-unreadable")]
    public async Task WhatIf_ThatCannotBeFollowed_IsRefused(string json, int status, string code)
    {
        using var answer = await _client.PostAsync("/v1/what-if", new StringContent(json, Encoding.UTF8, "application/json"));
        await answer.IsProblem(status, code);
    }

    [Fact]
    public async Task CommandLine_ReplaysAllAndTriesABook()
    {
        await using var own = new RunningService();
        own.UseKestrel(0);
        own.StartServer();
        var server = own.ClientOptions.BaseAddress.ToString();
        using var client = own.CreateClient();
        using var measured = await client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        var replay = await ServiceProcess.Run("grainvision.dll", ["replay", "--all", "--server", server]);
        Assert.True(replay.ExitCode == 0, replay.Output + replay.Errors);
        Assert.Contains("same", replay.Output, StringComparison.Ordinal);
        var tried = await ServiceProcess.Run("grainvision.dll", ["what-if", "--rule-book", "cap-strip", "--server", server]);
        Assert.True(tried.ExitCode is 0 or 2, tried.Output + tried.Errors);
        Assert.Contains("of 1 verdicts would change; none was changed", tried.Output, StringComparison.Ordinal);
    }

    private async Task<JsonNode> RingsBook(int least, int most)
    {
        var book = JsonNode.Parse(await _client.GetStringAsync("/v1/rule-books/shop-order"))!;
        var limit = book["limits"]!.AsArray().First(l => l!["id"]!.ToString() == "rings-per-inch")!.DeepClone();
        (limit["species"]![0]!["least"], limit["species"]![0]!["most"]) = (least, most);
        (book["version"], book["limits"]) = (99, new JsonArray(limit));
        return book;
    }

    private async Task<(long, string)> Head()
    {
        var found = JsonNode.Parse(await _client.GetStringAsync("/v1/log?limit=1"))!["entries"]![0]!;
        return (found["number"]!.GetValue<long>(), found["sha256"]!.ToString());
    }

    private async Task<string> Measured(string photo, string request)
    {
        using var answer = await _client.Measure(Calls.Fixture(photo), request);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        return (await answer.Json()).GetProperty("id").GetString()!;
    }

    private async Task<JsonNode> Replayed(string id)
    {
        using var answer = await _client.PostAsync($"/v1/measurements/{id}/replay", null);
        return JsonNode.Parse(await answer.Content.ReadAsStringAsync())!;
    }

    private async Task<JsonNode> WhatIf(JsonObject request)
    {
        using var answer = await _client.PostAsync("/v1/what-if", new StringContent(request.ToJsonString(), Encoding.UTF8, "application/json"));
        var text = await answer.Content.ReadAsStringAsync();
        Assert.True(answer.StatusCode == HttpStatusCode.OK, text);
        return JsonNode.Parse(text)!;
    }
}
