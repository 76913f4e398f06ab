using System.Net;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace GrainVision.Service.Tests.Deliveries;

/// <summary>Deliveries as they are entered and listed, and what is refused.</summary>
public class DeliveryTests(RunningService service) : IClassFixture<RunningService>
{
    private readonly HttpClient _client = service.CreateClient();

    [Fact]
    public async Task Delivery_Entered_IsListedNewestFirst()
    {
        var first = await _client.Enter();
        var second = await _client.Enter();
        using var page = JsonDocument.Parse(await _client.GetStringAsync("/v1/deliveries?limit=1"));
        Assert.Equal(second, page.RootElement.GetProperty("deliveries")[0].Text("id"));
        using var next = JsonDocument.Parse(await _client.GetStringAsync($"/v1/deliveries?limit=1&before={page.RootElement.Text("before")}"));
        Assert.Equal(first, next.RootElement.GetProperty("deliveries")[0].Text("id"));
    }

    [Fact]
    public async Task Unknown_Things_AreNotFound()
    {
        (string Path, string Code)[] all =
        [
            ("/v1/deliveries/none", "delivery-unknown"), ("/v1/deliveries/none/report.json", "delivery-unknown"), ("/v1/deliveries/none/report.pdf", "delivery-unknown"),
            ("/v1/jobs/none", "job-unknown"), ("/v1/jobs/none/events", "job-unknown"), ("/v1/pieces/none", "piece-unknown"),
        ];
        foreach (var (path, code) in all)
        {
            using var answer = await _client.GetAsync(path);
            await answer.IsProblem(404, code);
        }

        using var sent = await _client.Send("none", ("1-endA.jpg", DeliveryCalls.Face));
        await sent.IsProblem(404, "delivery-unknown");
        using var limit = await _client.GetAsync("/v1/deliveries?limit=many");
        Assert.Equal(HttpStatusCode.BadRequest, limit.StatusCode);
    }

    /// <summary>Each changes one member of a delivery that is taken as it stands; <c>null</c> stands for JSON's null.</summary>
    [Theory]
    [InlineData("pieces/0/moisturePercnt", "12", 400, "body-unreadable")]
    [InlineData("supplier", "null", 400, "body-unreadable")]
    [InlineData("pieces", "null", 400, "body-unreadable")]
    [InlineData("pieces", "[null]", 422, "delivery-unfit")]
    [InlineData("pieces", "[]", 422, "delivery-unfit")]
    [InlineData("pieces/1/number", "1", 422, "delivery-unfit")]
    [InlineData("pieces/0/widthIn", "-6", 422, "delivery-unfit")]
    [InlineData("pieces/0/id", "\"mine\"", 422, "delivery-unfit")]
    [InlineData("pieces/0/id", "null", 400, "body-unreadable")]
    [InlineData("pieces/0/moisturePercent", "999", 422, "delivery-unfit")]
    [InlineData("ruleBooks", "[]", 422, "delivery-unfit")]
    [InlineData("ruleBooks", "[null]", 422, "delivery-unfit")]
    [InlineData("ruleBooks", "[\"keel\"]", 422, "delivery-unfit")]
    [InlineData("ruleBooks", "[\"spar\",\"spar\"]", 422, "delivery-unfit")]
    [InlineData("cutList", "[null]", 422, "delivery-unfit")]
    [InlineData("orderedBoardFeet", "0", 422, "delivery-unfit")]
    [InlineData("scale", "{\"kind\":\"guess\"}", 400, "body-unreadable")]
    [InlineData("orderNumber", "\"\"", 422, "delivery-unfit")]
    public async Task Delivery_ThatDoesNotHoldTogether_IsRefused(string path, string value, int status, string code)
    {
        var delivery = JsonNode.Parse(DeliveryCalls.TwoPieces)!;
        var at = delivery;
        var steps = path.Split('/');
        foreach (var step in steps[..^1])
            at = int.TryParse(step, out var i) ? at![i] : at![step];
        at![steps[^1]] = JsonNode.Parse(value);
        using var answer = await _client.Post("/v1/deliveries", DeliveryCalls.Json(delivery.ToJsonString()));
        await answer.IsProblem(status, code);
    }

    [Fact]
    public async Task Key_OfADelivery_GivesTheFirstAnswer()
    {
        async Task<(HttpStatusCode, string?)> Post(string body)
        {
            using var answer = await _client.Post("/v1/deliveries", DeliveryCalls.Json(body), "delivery-key");
            return (answer.StatusCode, answer.Headers.Location?.ToString());
        }

        var first = await Post(DeliveryCalls.TwoPieces);
        Assert.Equal(HttpStatusCode.Created, first.Item1);
        Assert.Equal(first, await Post(DeliveryCalls.TwoPieces));
        Assert.Equal(HttpStatusCode.Conflict, (await Post(DeliveryCalls.TwoPieces.Replace("T-1", "T-2", StringComparison.Ordinal))).Item1);
    }

    [Fact]
    public async Task Key_OfTwoRequestsSideBySide_MakesOneDelivery()
    {
        var bodies = new[] { DeliveryCalls.TwoPieces, DeliveryCalls.TwoPieces, DeliveryCalls.TwoPieces.Replace("T-1", "T-3", StringComparison.Ordinal) };
        var answers = await Task.WhenAll(bodies.Select(b => _client.Post("/v1/deliveries", DeliveryCalls.Json(b), "side-by-side")));
        Assert.Single(answers.Where(a => a.StatusCode == HttpStatusCode.Created).Select(a => a.Headers.Location!.ToString()).Distinct());
        Assert.Contains(answers, a => a.StatusCode == HttpStatusCode.Conflict); // T-1 and T-3 are not the same request
        foreach (var answer in answers)
            answer.Dispose();
    }

    [Fact]
    public async Task Key_OfAnUpload_StandsForPhotosNamesAndManifest()
    {
        var id = await _client.Enter();
        async Task<(HttpStatusCode, string?)> Send(string key, params (string, byte[])[] files)
        {
            using var answer = await _client.Post($"/v1/deliveries/{id}/photos", DeliveryCalls.Form(files), key);
            return (answer.StatusCode, answer.Headers.Location?.ToString());
        }

        var first = await Send("upload", ("a.jpg", DeliveryCalls.NoPhoto));
        Assert.Equal(HttpStatusCode.Accepted, first.Item1);
        Assert.Equal(first, await Send("upload", ("a.jpg", DeliveryCalls.NoPhoto)));
        Assert.Equal(HttpStatusCode.Conflict, (await Send("upload", ("1-endA.jpg", DeliveryCalls.NoPhoto))).Item1);
        Assert.Equal(HttpStatusCode.Conflict, (await Send("upload", ("a.jpg", DeliveryCalls.NoPhoto), ("manifest.csv", Encoding.ASCII.GetBytes("file,piece,surface\na.jpg,1,endA\n")))).Item1);
        Assert.Equal(HttpStatusCode.BadRequest, (await Send("not a key", ("a.jpg", DeliveryCalls.NoPhoto))).Item1);
    }

    [Fact]
    public async Task Upload_ThatIsNone_IsRefused()
    {
        var id = await _client.Enter();
        using var json = await _client.Post($"/v1/deliveries/{id}/photos", DeliveryCalls.Json("{}"));
        await json.IsProblem(415, "multipart-expected");
        using var empty = await _client.Post($"/v1/deliveries/{id}/photos", new MultipartFormDataContent { { new StringContent("x"), "colour" } });
        await empty.IsProblem(400, "part-unknown");
        using var cut = new ByteArrayContent(Encoding.ASCII.GetBytes("--cut\r\nContent-Disposition: form-data; name=\"photos\"; filename=\"a.jpg\"\r\n\r\nhalf a pho"));
        cut.Headers.TryAddWithoutValidation("Content-Type", "multipart/form-data; boundary=cut");
        using var broken = await _client.Post($"/v1/deliveries/{id}/photos", cut);
        await broken.IsProblem(400, "multipart-broken");
        Assert.Empty(await _client.Photos(id));
    }
}
