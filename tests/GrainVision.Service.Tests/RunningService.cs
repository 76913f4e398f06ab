using System.Net.Http.Headers;
using System.Text.Json;
using GrainVision.Service.Measurements;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Mvc.Testing;

namespace GrainVision.Service.Tests;

/// <summary>The real program with records in a folder of its own, which goes with it.</summary>
public class RunningService : WebApplicationFactory<WorkOptions>
{
    private readonly Dictionary<string, string> _settings;

    public RunningService()
        : this([])
    {
    }

    internal RunningService(Dictionary<string, string> settings) => _settings = settings;

    public string Folder { get; } = Directory.CreateTempSubdirectory("grainvision-test-").FullName;

    protected override void ConfigureWebHost(IWebHostBuilder builder)
    {
        ArgumentNullException.ThrowIfNull(builder);
        builder.UseSetting("GrainVision:Records:Folder", Folder);
        builder.UseSetting("Logging:LogLevel:Default", "Warning");
        foreach (var (name, value) in _settings)
            builder.UseSetting(name, value);
    }

    /// <summary>Ends the program and leaves its records: one service a data folder.</summary>
    public ValueTask End() => base.DisposeAsync();

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        Microsoft.Data.Sqlite.SqliteConnection.ClearAllPools();
        if (Directory.Exists(Folder))
            Directory.Delete(Folder, recursive: true);
        GC.SuppressFinalize(this);
    }
}

/// <summary>What tests send, and what they read.</summary>
internal static class Calls
{
    /// <summary>A photo with rings, measured with a pitch: answers with 200 whatever the state of card and rule reading.</summary>
    public const string RingsPhoto = "photos/ring-closeup.png";

    public const string RingsRequest =
        """{"view":"end","species":"white-spruce","outline":[[0,0],[679,0],[679,416],[0,416]],"scale":{"kind":"pitch","pixelsPerMm":20},"ruleBook":"shop-order"}""";

    public const string FacePhoto = "photos/face-baldcypress-quarter-sawn.jpg";

    public const string FaceRequest =
        """{"view":"face","species":"sitka-spruce","outline":[[0,0],[514,0],[514,514],[0,514]],"scale":{"kind":"pitch","pixelsPerMm":8},"ruleBook":"spar"}""";

    public static string FixturePath(string path) => Path.Combine(Root(), "fixtures", path);

    /// <summary>Folder of the sources.</summary>
    public static string Root()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder!.FullName, "GrainVision.sln")))
            folder = folder.Parent;
        return folder.FullName;
    }

    public static byte[] Fixture(string path) => File.ReadAllBytes(FixturePath(path));

    public static MultipartFormDataContent Form(byte[]? photo, string? request, bool asJsonPart = false)
    {
        var form = new MultipartFormDataContent();
        if (photo is not null)
            form.Add(new ByteArrayContent(photo), "photo", "photo.jpg");
        if (request is not null)
            form.Add(asJsonPart ? new StringContent(request, new MediaTypeHeaderValue("application/json")) : new StringContent(request), "request");
        return form;
    }

    public static async Task<HttpResponseMessage> Measure(this HttpClient client, byte[]? photo, string? request, string? key = null)
    {
        using var message = new HttpRequestMessage(HttpMethod.Post, "/v1/measurements") { Content = Form(photo, request) };
        if (key is not null)
            message.Headers.Add("Idempotency-Key", key);
        return await client.SendAsync(message);
    }

    public static async Task<JsonElement> Json(this HttpResponseMessage answer)
    {
        using var document = JsonDocument.Parse(await answer.Content.ReadAsStringAsync());
        return document.RootElement.Clone();
    }

    /// <summary>Holds an answer against RFC 9457 and our members; gives its JSON.</summary>
    public static async Task<JsonElement> IsProblem(this HttpResponseMessage answer, int status, string code, string? stage = null)
    {
        var text = await answer.Content.ReadAsStringAsync();
        Assert.True((int)answer.StatusCode == status, $"{(int)answer.StatusCode} instead of {status}: {text}");
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType?.MediaType);
        using var document = JsonDocument.Parse(text);
        var problem = document.RootElement.Clone();
        Assert.Equal(status, problem.GetProperty("status").GetInt32());
        Assert.Equal(code, problem.GetProperty("code").GetString());
        Assert.Equal("urn:grainvision:problem:" + code, problem.GetProperty("type").GetString());
        foreach (var member in new[] { "title", "detail", "stage", "advice" })
            Assert.False(string.IsNullOrWhiteSpace(problem.GetProperty(member).GetString()), $"no {member}");
        if (stage is not null)
            Assert.Equal(stage, problem.GetProperty("stage").GetString());
        // No internals: type names and stack traces are for the log.
        Assert.DoesNotContain("System.", text, StringComparison.Ordinal);
        Assert.DoesNotContain("GrainVision.", text, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", text, StringComparison.Ordinal);
        return problem;
    }
}
