using System.Net;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Service.Tests.Http;

/// <summary>Every way to be refused answers with a problem that says what to do.</summary>
public class ProblemTests(RunningService service) : IClassFixture<RunningService>
{
    private readonly HttpClient _client = service.CreateClient();

    [Theory]
    [InlineData("{}")]
    [InlineData("null")]
    [InlineData("[1]")]
    [InlineData("{\"view\":")]
    [InlineData("{\"view\":\"roof\"}")]
    [InlineData("{\"view\":0}")]
    [InlineData("{\"view\":\"end\",\"view\":\"face\"}")]
    [InlineData("{\"view\":\"end\",\"scale\":{}}")]
    [InlineData("{\"view\":\"end\",\"scale\":{\"kind\":\"ruler\"}}")]
    [InlineData("{\"view\":\"end\",\"scale\":{\"kind\":\"points\",\"a\":[1,2],\"b\":[3,4]}}")]
    [InlineData("{\"view\":\"end\",\"scale\":{\"kind\":\"pitch\",\"pixelsPerMm\":\"twelve\"}}")]
    [InlineData("{\"view\":\"end\",\"outline\":[[1]]}")]
    [InlineData("{\"view\":\"end\",\"outline\":{\"a\":1}}")]
    public async Task Request_Unreadable_IsABadRequest(string request)
    {
        using var answer = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), request);
        await answer.IsProblem(400, "request-unreadable", "request");
    }

    [Theory]
    [InlineData("{\"view\":\"end\",\"scale\":{\"kind\":\"pitch\",\"pixelsPerMm\":0}}")]
    [InlineData("{\"view\":\"end\",\"scale\":{\"kind\":\"pitch\",\"pixelsPerMm\":-5}}")]
    [InlineData("{\"view\":\"end\",\"scale\":{\"kind\":\"pitch\",\"pixelsPerMm\":1e300}}")]
    [InlineData("{\"view\":\"end\",\"scale\":{\"kind\":\"points\",\"a\":[1,2],\"b\":[1,2],\"distanceMm\":50}}")]
    [InlineData("{\"view\":\"end\",\"scale\":{\"kind\":\"points\",\"a\":[-1e9,2],\"b\":[1e9,2],\"distanceMm\":50}}")]
    [InlineData("{\"view\":\"end\",\"outline\":[[0,0],[1,1],[2,2],[3,3]],\"scale\":{\"kind\":\"pitch\",\"pixelsPerMm\":20}}")]
    [InlineData("{\"view\":\"end\",\"outline\":[[0,0],[600,0],[600,400]],\"scale\":{\"kind\":\"pitch\",\"pixelsPerMm\":20}}")]
    [InlineData("{\"view\":\"end\",\"outline\":[[0,0],[600,400],[600,0],[0,400]],\"scale\":{\"kind\":\"pitch\",\"pixelsPerMm\":20}}")]
    [InlineData("{\"view\":\"end\",\"outline\":[[1e8,0],[2e8,0],[2e8,1e8],[1e8,1e8]],\"scale\":{\"kind\":\"pitch\",\"pixelsPerMm\":20}}")]
    [InlineData("{\"view\":\"face\",\"scale\":{\"kind\":\"outlineSize\",\"firstSideMm\":-1,\"secondSideMm\":5}}")]
    public async Task Request_ThatMakesNoSense_IsRefusedAndNeverAFault(string request)
    {
        using var answer = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), request);
        Assert.InRange((int)answer.StatusCode, 400, 422);
        var problem = await answer.Json();
        await answer.IsProblem((int)answer.StatusCode, problem.GetProperty("code").GetString()!);
    }

    [Fact]
    public async Task Form_WithoutPhoto_SaysSo()
    {
        using var answer = await _client.Measure(null, Calls.RingsRequest);
        await answer.IsProblem(400, "photo-missing", "request");
    }

    [Fact]
    public async Task Form_WithoutRequest_SaysSo()
    {
        using var answer = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), null);
        await answer.IsProblem(400, "request-missing", "request");
    }

    [Fact]
    public async Task Form_WithTheSamePartTwice_IsRefused()
    {
        using var form = Calls.Form(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        form.Add(new StringContent(Calls.FaceRequest), "request");
        using var answer = await _client.PostAsync("/v1/measurements", form);
        await answer.IsProblem(400, "part-twice");
    }

    [Fact]
    public async Task Form_CutOff_IsABadRequest()
    {
        using var form = Calls.Form(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        var whole = await form.ReadAsByteArrayAsync();
        using var cut = new ByteArrayContent(whole, 0, whole.Length / 2);
        cut.Headers.ContentType = form.Headers.ContentType;
        using var answer = await _client.PostAsync("/v1/measurements", cut);
        await answer.IsProblem(400, "multipart-broken");
    }

    [Theory]
    [InlineData("application/json", "media-type-not-supported")]
    [InlineData("image/jpeg", "media-type-not-supported")]
    [InlineData("multipart/mixed; boundary=x", "media-type-not-supported")]
    [InlineData("multipart/form-data", "multipart-expected")] // no boundary
    public async Task Body_OfAnotherType_IsNotSupported(string type, string code)
    {
        using var content = new ByteArrayContent(Encoding.UTF8.GetBytes("{}"));
        content.Headers.TryAddWithoutValidation("Content-Type", type);
        using var answer = await _client.PostAsync("/v1/measurements", content);
        await answer.IsProblem(415, code, "request");
    }

    [Fact]
    public async Task Photo_Empty_IsABadRequest()
    {
        using var answer = await _client.Measure([], Calls.RingsRequest);
        await answer.IsProblem(400, "photo-empty", "intake");
    }

    [Fact]
    public async Task Photo_HeicFromAPhone_SaysWhatToSet()
    {
        using var answer = await _client.Measure(Encoding.Latin1.GetBytes("\0\0\0\u0018ftypheic\0\0\0\0mif1heic"), Calls.RingsRequest);
        var problem = await answer.IsProblem(415, "photo-format-not-supported", "intake");
        Assert.Contains("most compatible", problem.GetProperty("advice").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Photo_Truncated_IsUnreadable()
    {
        var photo = Calls.Fixture(Calls.FacePhoto);
        using var answer = await _client.Measure(photo[..(photo.Length / 2)], Calls.FaceRequest);
        await answer.IsProblem(422, "photo-unreadable", "intake");
    }

    [Fact]
    public async Task Photo_WithoutScale_IsRefusedWithAdvice()
    {
        using var answer = await _client.Measure(Calls.Fixture(Calls.FacePhoto), """{"view":"face"}""");
        await answer.IsProblem(422, "scale-not-found", "scale");
    }

    [Fact]
    public async Task RuleBook_Unknown_IsRefusedBeforeMeasuring()
    {
        using var answer = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest.Replace("shop-order", "ship-order", StringComparison.Ordinal));
        var problem = await answer.IsProblem(404, "rule-book-unknown");
        Assert.Contains("shop-order", problem.GetProperty("advice").GetString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("/v1/measurements/0123")]
    [InlineData("/v1/measurements/0123/picture")]
    [InlineData("/v1/measurements/..%2f..%2frecords.sqlite")]
    public async Task Measurement_Unknown_IsNotFound(string address)
    {
        using var answer = await _client.GetAsync(address);
        await answer.IsProblem(404, "measurement-unknown");
    }

    [Theory]
    [InlineData("/nowhere")]
    [InlineData("/v1")]
    [InlineData("/v1/nothing")]
    [InlineData("/../appsettings.json")]
    public async Task Address_Unknown_IsNotFound(string address)
    {
        using var answer = await _client.GetAsync(address);
        await answer.IsProblem(404, "not-found");
    }

    [Fact]
    public async Task Method_Wrong_NamesTheRightOne()
    {
        using var answer = await _client.DeleteAsync("/v1/measurements");
        var problem = await answer.IsProblem(405, "method-not-allowed");
        Assert.Contains("POST", problem.GetProperty("advice").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task AnyAnswer_CarriesTheSecurityHeaders()
    {
        foreach (var address in new[] { "/", "/v1/rule-books", "/nowhere" })
        {
            using var answer = await _client.GetAsync(address);
            Assert.Equal("nosniff", Assert.Single(answer.Headers.GetValues("X-Content-Type-Options")));
            Assert.StartsWith("default-src 'self'", Assert.Single(answer.Headers.GetValues("Content-Security-Policy")), StringComparison.Ordinal);
            Assert.False(answer.Headers.Contains("Server"));
        }
    }

    [Fact]
    public async Task Page_IsPlainAndComplete()
    {
        var page = await _client.GetStringAsync("/");
        Assert.Contains("app.js", page, StringComparison.Ordinal);
        Assert.Contains($">{VerdictCautions.Short}<", page, StringComparison.Ordinal);
        Assert.DoesNotContain("http://", page, StringComparison.Ordinal); // nothing from elsewhere
        Assert.DoesNotContain("https://", page, StringComparison.Ordinal);
        Assert.DoesNotContain("capture", page, StringComparison.Ordinal); // it would force the camera and bar the gallery
        foreach (var file in new[] { "/app.js", "/style.css", "/swagger/index.html" })
        {
            using var answer = await _client.GetAsync(file);
            Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        }
    }

    [Fact]
    public async Task Health_LiveAndReady_AnswerOnceWarm()
    {
        using var live = await _client.GetAsync("/health/live");
        Assert.Equal(HttpStatusCode.OK, live.StatusCode);
        JsonElement last = default;
        for (var i = 0; i < 200; i++)
        {
            using var ready = await _client.GetAsync("/health/ready");
            last = await ready.Json();
            if (ready.StatusCode == HttpStatusCode.OK)
                break;
            await Task.Delay(50);
        }

        Assert.Equal("ready", last.GetProperty("status").GetString());
        Assert.Equal(0, last.GetProperty("problems").GetArrayLength());
    }
}
