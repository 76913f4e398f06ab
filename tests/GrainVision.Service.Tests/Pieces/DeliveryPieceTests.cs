using System.Net;
using System.Text;
using System.Text.Json.Nodes;

namespace GrainVision.Service.Tests.Pieces;

/// <summary>What a piece of a delivery comes to: its findings, decisions on it, and the reports.</summary>
public class DeliveryPieceTests(RunningService service) : IClassFixture<RunningService>
{
    private readonly HttpClient _client = service.CreateClient();

    [Fact]
    public async Task Photo_AssignedToAnotherPiece_LeavesTheFindingsAndDecisionsOfTheFirst()
    {
        var id = await _client.Enter();
        var job = await _client.SendAll(id, ("1-face1.jpg", DeliveryCalls.Face), ("1-face2.jpg", DeliveryCalls.OtherFace));
        Assert.Equal(2, await Shown(id, 1));
        Assert.Equal(2, (await Decided(id, 1, """{"ruleBook":"spar"}"""))["evidence"]!.AsArray().Count);

        var moved = (await _client.Photos(id))["1-face1.jpg"];
        using var assigned = await _client.Assign(id, moved, """{"pieceNumber":2,"surface":"face1"}""");
        Assert.Equal(HttpStatusCode.OK, assigned.StatusCode);
        await _client.Done($"/v1/jobs/{job.Text("id")}");
        Assert.Equal((1, 1), (await Shown(id, 1), await Shown(id, 2)));
        var first = JsonNode.Parse(await _client.GetStringAsync($"/v1/pieces/{id}-1/decisions"))!["decisions"]![0]!;
        var again = await Decided(id, 1, $$"""{"ruleBook":"spar","supersedes":"{{first["id"]}}"}""");
        Assert.DoesNotContain(moved.Text("sha256")!, again["evidence"]!.ToJsonString(), StringComparison.Ordinal);
        var ofSecond = await Decided(id, 2, """{"ruleBook":"spar"}""");
        Assert.Contains(moved.Text("sha256")!, Assert.Single(ofSecond["evidence"]!.AsArray())!.ToJsonString(), StringComparison.Ordinal);
        Assert.Equal(2, first["evidence"]!.AsArray().Count); // what was decided is still there
    }

    [Fact]
    public async Task Decision_ByRule_IsSettledByHandOrOverriddenWithReason()
    {
        var id = await _client.Enter();
        await _client.SendAll(id, ("1-face1.jpg", DeliveryCalls.Face));
        var byRule = await Decided(id, 1, """{"ruleBook":"shop-order"}""");
        Assert.Equal(("rule", id), (byRule["decidedBy"]!.ToString(), byRule["delivery"]!.ToString()));
        Assert.NotEqual("accept", byRule["verdict"]!.ToString());
        Assert.Equal("white-spruce", byRule["species"]!.ToString()); // the delivery's
        var holds = Holds(byRule);
        Assert.Contains("all-faces", holds);

        var supersedes = byRule["id"]!.ToString();
        var settled = await Decided(id, 1, $$"""{"ruleBook":"shop-order","supersedes":"{{supersedes}}","handMeasurements":[{"limit":"all-faces","answer":"met","instrument":"eye and lens","by":"A. Example"}]}""");
        Assert.Equal(holds.Except(["all-faces"]), Holds(settled));

        supersedes = settled["id"]!.ToString();
        using (var plain = await Decide(id, 1, $$"""{"ruleBook":"shop-order","supersedes":"{{supersedes}}","verdict":"accept"}"""))
            await plain.IsProblem(422, "override-needed", "decision");
        using (var silent = await Decide(id, 1, $$"""{"ruleBook":"shop-order","supersedes":"{{supersedes}}","verdict":"accept","override":true}"""))
            await silent.IsProblem(422, "reason-missing", "decision");
        var over = await Decided(id, 1, $$"""{"ruleBook":"shop-order","supersedes":"{{supersedes}}","verdict":"accept","override":true,"reason":"Split a sliver: straight."}""");
        Assert.True(over["override"]!.GetValue<bool>());
    }

    [Theory]
    [InlineData("""{"ruleBook":"spar","measurements":["another"]}""")]
    [InlineData("""{"ruleBook":"spar","delivery":"another"}""")]
    [InlineData("""{"ruleBook":"spar","species":"balsa"}""")]
    public async Task Decision_OnOtherThanThePhotosPlacedThere_IsRefused(string decision)
    {
        var id = await _client.Enter();
        using var answer = await Decide(id, 2, decision);
        await answer.IsProblem(422, "decision-unreadable");
    }

    [Fact]
    public async Task Report_OfADeliveryWithPhotosAndOfAnEmptyOne_IsThereInEveryForm()
    {
        var empty = await _client.Enter();
        var full = await _client.Enter();
        await _client.SendAll(full, ("1-face1.jpg", DeliveryCalls.Face), ("IMG_1.jpg", DeliveryCalls.OtherFace), ("bad.jpg", DeliveryCalls.NoPhoto));
        foreach (var id in new[] { empty, full })
        {
            foreach (var (form, type, start) in new[] { ("report", "application/json", "{"), ("report.json", "application/json", "{"), ("report.csv", "text/csv", ""), ("report.csv?table=photos", "text/csv", ""), ("report.pdf", "application/pdf", "%PDF-"), ("shop-sheet.pdf", "application/pdf", "%PDF-"), ("mill-letter.pdf", "application/pdf", "%PDF-") })
            {
                using var answer = await _client.GetAsync($"/v1/deliveries/{id}/{form}");
                Assert.True(answer.StatusCode == HttpStatusCode.OK, $"{form}: {answer.StatusCode}");
                Assert.Equal(type, answer.Content.Headers.ContentType!.MediaType);
                var bytes = await answer.Content.ReadAsByteArrayAsync();
                Assert.True(bytes.Length > 50, form);
                Assert.Contains(start, Encoding.Latin1.GetString(bytes), StringComparison.Ordinal);
            }
        }

        var report = JsonNode.Parse(await _client.GetStringAsync($"/v1/deliveries/{full}/report.json"))!;
        Assert.Equal((1, 1, 2), (report["unsorted"]!.AsArray().Count, report["setAside"]!.AsArray().Count, report["pieces"]!.AsArray().Count));
        Assert.True(report["isComplete"]!.GetValue<bool>());
        // 8/4 by 6 in by 12 ft is 12 board feet (2 x 6 x 12 / 12).
        Assert.Equal(24, report["arrivedBoardFeet"]!.GetValue<double>(), 6);
    }

    [Fact]
    public async Task Piece_WithoutPhotos_IsHeld()
    {
        var id = await _client.Enter();
        var piece = JsonNode.Parse(await _client.GetStringAsync($"/v1/pieces/{id}-2"))!;
        Assert.Equal(id, piece["delivery"]!.ToString());
        Assert.Equal(6, piece["report"]!["findings"]!["notShown"]!.AsArray().Count);
        Assert.All(piece["report"]!["verdicts"]!.AsArray(), v => Assert.Equal("hold", v!["outcome"]!.ToString()));
    }

    private async Task<int> Shown(string id, int piece) =>
        JsonNode.Parse(await _client.GetStringAsync($"/v1/pieces/{id}-{piece}"))!["report"]!["findings"]!["photos"]!.AsArray().Count;

    private static IEnumerable<string> Holds(JsonNode decision) =>
        decision["reasons"]!.AsArray().Where(r => r!["reason"]!["outcome"]!.ToString() == "hold").Select(r => r!["reason"]!["limitId"]!.ToString()).Distinct().Order(StringComparer.Ordinal);

    private Task<HttpResponseMessage> Decide(string id, int piece, string json) => _client.Post($"/v1/pieces/{id}-{piece}/decisions", DeliveryCalls.Json(json));

    private async Task<JsonNode> Decided(string id, int piece, string json)
    {
        using var answer = await Decide(id, piece, json);
        var text = await answer.Content.ReadAsStringAsync();
        Assert.True(answer.StatusCode == HttpStatusCode.Created, text);
        return JsonNode.Parse(text)!;
    }
}
