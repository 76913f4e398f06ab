using System.Net;
using System.Text;
using System.Text.Json.Nodes;

namespace GrainVision.Service.Tests.RuleBooks;

public sealed class RuleBookTests : IDisposable
{
    private readonly RunningService _service = new();
    private readonly HttpClient _client;

    public RuleBookTests() => _client = _service.CreateClient();

    public void Dispose()
    {
        _client.Dispose();
        _service.Dispose();
    }

    [Fact]
    public async Task RuleBooks_Embedded_AreListedAndRead()
    {
        using var list = await _client.GetAsync("/v1/rule-books");
        var ids = (await list.Json()).EnumerateArray().Select(b => b.GetProperty("id").GetString()).ToList();
        Assert.Equal(["cap-strip", "longeron-and-small-parts", "shop-order", "spar"], ids);
        foreach (var id in ids)
        {
            using var answer = await _client.GetAsync("/v1/rule-books/" + id);
            var book = await answer.Json();
            Assert.Equal(id, book.GetProperty("id").GetString());
            Assert.All(book.GetProperty("limits").EnumerateArray(), l => Assert.NotEqual(0, l.GetProperty("sources").GetArrayLength()));
        }
    }

    [Fact]
    public async Task RuleBook_Unknown_IsNotFound()
    {
        using var answer = await _client.GetAsync("/v1/rule-books/keel");
        await answer.IsProblem(404, "rule-book-unknown");
    }

    [Fact]
    public async Task Put_NextVersion_IsUsedFromThenOnAndOutlivesTheProcess()
    {
        var book = await Book("shop-order", version: 2);
        book["title"] = "Our own order";
        using var put = await Put("shop-order", book.ToJsonString());
        Assert.Equal(HttpStatusCode.OK, put.StatusCode);
        using var measured = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        Assert.Equal(2, (await measured.Json()).GetProperty("verdict").GetProperty("ruleBookVersion").GetInt32());

        await _service.End();
        await using var next = new RunningService(new() { ["GrainVision:Records:Folder"] = _service.Folder });
        using var client = next.CreateClient();
        using var read = await client.GetAsync("/v1/rule-books/shop-order");
        var kept = await read.Json();
        Assert.Equal((2, "Our own order"), (kept.GetProperty("version").GetInt32(), kept.GetProperty("title").GetString()));
    }

    [Fact]
    public async Task Put_NewId_AddsABook()
    {
        var book = await Book("spar", version: 1);
        book["id"] = "rib";
        using var put = await Put("rib", book.ToJsonString());
        Assert.Equal(HttpStatusCode.OK, put.StatusCode);
        using var list = await _client.GetAsync("/v1/rule-books");
        Assert.Contains("rib", (await list.Json()).EnumerateArray().Select(b => b.GetProperty("id").GetString()));
    }

    [Fact]
    public async Task Put_VersionInForce_IsAConflictAndChangesNothing()
    {
        var book = await Book("spar", version: 1);
        book["title"] = "Laxer";
        using var put = await Put("spar", book.ToJsonString());
        await put.IsProblem(409, "rule-book-version-taken");
        using var read = await _client.GetAsync("/v1/rule-books/spar");
        Assert.NotEqual("Laxer", (await read.Json()).GetProperty("title").GetString());
    }

    [Theory]
    [InlineData("not json", 422, "rule-book-unreadable")]
    [InlineData("[]", 422, "rule-book-invalid")]
    [InlineData("{\"id\":\"spar\"}", 422, "rule-book-invalid")]
    public async Task Put_NotARuleBook_IsRefused(string body, int status, string code)
    {
        using var put = await Put("spar", body);
        await put.IsProblem(status, code);
    }

    [Fact]
    public async Task Put_MisspeltLimit_IsRefused()
    {
        // A misspelt member would limit nothing.
        var book = await Book("spar", version: 2);
        book["limits"]![0]!["lesat"] = 6;
        using var put = await Put("spar", book.ToJsonString());
        await put.IsProblem(422, "rule-book-invalid");
    }

    [Fact]
    public async Task Put_IdUnlikeTheAddress_IsRefused()
    {
        using var put = await Put("spar", (await Book("cap-strip", version: 2)).ToJsonString());
        await put.IsProblem(422, "rule-book-id-differs");
    }

    [Fact]
    public async Task Put_TooLarge_IsRefused()
    {
        using var put = await Put("spar", "{\"id\":\"" + new string('x', 1_100_000) + "\"}");
        await put.IsProblem(413, "body-too-large");
    }

    [Fact]
    public async Task Put_DeeplyNested_IsRefusedAndNotAFault()
    {
        using var put = await Put("spar", new string('[', 5_000));
        await put.IsProblem(422, "rule-book-unreadable");
    }

    private async Task<JsonObject> Book(string id, int version)
    {
        var book = JsonNode.Parse(await _client.GetStringAsync("/v1/rule-books/" + id))!.AsObject();
        book["version"] = version;
        return book;
    }

    private Task<HttpResponseMessage> Put(string id, string json) =>
        _client.PutAsync("/v1/rule-books/" + id, new StringContent(json, Encoding.UTF8, "application/json"));
}
