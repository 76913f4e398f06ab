using System.Net;
using System.Net.Http.Headers;

namespace GrainVision.Service.Tests.Guard;

/// <summary>Who may call, and where the service listens at all.</summary>
public class GuardTests
{
    private const string YardKey = "yard-key-0123456789-abcdefgh";
    private const string OfficeKey = "office-key-0123456789-abcdef";

    private static readonly Dictionary<string, string> TwoKeys = new()
    {
        ["GrainVision:Guard:ApiKeys:0:Name"] = "yard",
        ["GrainVision:Guard:ApiKeys:0:Key"] = YardKey,
        ["GrainVision:Guard:ApiKeys:1:Name"] = "office",
        ["GrainVision:Guard:ApiKeys:1:Key"] = OfficeKey,
    };

    [Theory]
    [InlineData("http://0.0.0.0:0")]
    [InlineData("http://*:0")]
    [InlineData("http://[::]:0")]
    public async Task Start_BeyondLoopbackWithoutKeys_IsRefusedAndSaysWhatToDo(string urls)
    {
        var ended = await ServiceProcess.Run("GrainVision.Service.dll", [], new() { ["ASPNETCORE_URLS"] = urls });
        Assert.Equal(78, ended.ExitCode);
        Assert.Contains("no API key is configured", ended.Errors, StringComparison.Ordinal);
        Assert.Contains("GrainVision__Guard__ApiKeys__0__Key", ended.Errors, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", ended.Errors, StringComparison.Ordinal); // a message, not a stack trace
        Assert.DoesNotContain("Now listening", ended.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Start_BeyondLoopbackThroughOtherSettings_IsRefusedToo()
    {
        var ports = await ServiceProcess.Run("GrainVision.Service.dll", [], new() { ["ASPNETCORE_HTTP_PORTS"] = "18437" });
        Assert.Equal(78, ports.ExitCode);
        var kestrel = await ServiceProcess.Run("GrainVision.Service.dll", ["--Kestrel:Endpoints:Web:Url=http://0.0.0.0:18437"]);
        Assert.Equal(78, kestrel.ExitCode);
        var mixed = await ServiceProcess.Run("GrainVision.Service.dll", ["--urls", "http://127.0.0.1:0;http://0.0.0.0:18437"]);
        Assert.Equal(78, mixed.ExitCode);
    }

    [Theory]
    [InlineData("--GrainVision:Guard:ApiKeys:0:Name=yard", "--GrainVision:Guard:ApiKeys:0:Key=short", "shorter than 24")]
    [InlineData("--GrainVision:Guard:ApiKeys:0:Name=", "--GrainVision:Guard:ApiKeys:0:Key=" + YardKey, "Name is empty")]
    [InlineData("--GrainVision:Work:Queue=-1", "--GrainVision:Work:Workers=1", "Queue")]
    [InlineData("--GrainVision:Work:Workers=100", "--GrainVision:Work:Queue=1", "Workers")]
    [InlineData("--GrainVision:Work:DeadlineSeconds=0", "--GrainVision:Work:Queue=1", "DeadlineSeconds")]
    public async Task Start_WithWrongSettings_IsRefusedAndNamesThem(string first, string second, string named)
    {
        var ended = await ServiceProcess.Run("GrainVision.Service.dll", [first, second, "--urls", "http://127.0.0.1:0"]);
        Assert.Equal(78, ended.ExitCode);
        Assert.Contains(named, ended.Errors, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Keys_Configured_AreAskedForUnderV1AndNowhereElse()
    {
        await using var service = new RunningService(TwoKeys);
        using var client = service.CreateClient();
        using (var none = await client.GetAsync("/v1/rule-books"))
        {
            await none.IsProblem(401, "api-key-missing");
            Assert.Equal("Bearer", none.Headers.WwwAuthenticate.ToString());
        }

        foreach (var open in new[] { "/", "/health/live", "/openapi/v1.json" })
        {
            using var answer = await client.GetAsync(open);
            Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        }
    }

    [Theory]
    [InlineData("X-Api-Key", YardKey, 200)]
    [InlineData("X-Api-Key", OfficeKey, 200)]
    [InlineData("Authorization", "Bearer " + YardKey, 200)]
    [InlineData("Authorization", "bearer " + OfficeKey, 200)]
    [InlineData("X-Api-Key", YardKey + "x", 401)]
    [InlineData("X-Api-Key", "yard-key-0123456789-abcdefg", 401)]
    [InlineData("X-Api-Key", "yard", 401)]
    [InlineData("Authorization", "Basic " + YardKey, 401)]
    public async Task Keys_Shown_AreComparedWhole(string header, string value, int status)
    {
        await using var service = new RunningService(TwoKeys);
        using var client = service.CreateClient();
        using var request = new HttpRequestMessage(HttpMethod.Get, "/v1/rule-books");
        request.Headers.TryAddWithoutValidation(header, value);
        using var answer = await client.SendAsync(request);
        Assert.Equal(status, (int)answer.StatusCode);
    }

    [Fact]
    public async Task IdempotencyKey_OfTwoClients_NeverMeets()
    {
        await using var service = new RunningService(TwoKeys);
        using var yard = service.CreateClient();
        yard.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", YardKey);
        using var office = service.CreateClient();
        office.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", OfficeKey);
        using var first = await yard.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest, "1");
        using var second = await office.Measure(Calls.Fixture(Calls.FacePhoto), Calls.FaceRequest, "1");
        Assert.Equal((HttpStatusCode.OK, HttpStatusCode.OK), (first.StatusCode, second.StatusCode));
        Assert.NotEqual(first.Headers.Location, second.Headers.Location);
    }

    [Theory]
    [InlineData("localhost", 200)]
    [InlineData("localhost:5080", 200)]
    [InlineData("127.0.0.1:5080", 200)]
    [InlineData("[::1]:5080", 200)]
    [InlineData("evil.example", 403)] // its owner may point the name at 127.0.0.1
    [InlineData("localhost.evil.example", 403)]
    [InlineData("192.168.1.7", 403)]
    public async Task WithoutKeys_OnlyLocalNames_AreAnswered(string host, int status)
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        using var request = new HttpRequestMessage(HttpMethod.Get, "/v1/rule-books");
        request.Headers.Host = host;
        using var answer = await client.SendAsync(request);
        Assert.Equal(status, (int)answer.StatusCode);
    }

    [Fact]
    public async Task WithoutKeys_APageOfAnotherSite_IsNotAnswered()
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        using var request = new HttpRequestMessage(HttpMethod.Post, "/v1/measurements") { Content = Calls.Form(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest) };
        request.Headers.Add("Sec-Fetch-Site", "cross-site");
        using var answer = await client.SendAsync(request);
        await answer.IsProblem(403, "host-not-local");
    }
}
