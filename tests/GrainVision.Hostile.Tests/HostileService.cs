using System.Text.Json;
using GrainVision.Service.Measurements;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Mvc.Testing;

namespace GrainVision.Hostile.Tests;

/// <summary>The real program with records in a folder of its own.</summary>
public class HostileService : WebApplicationFactory<WorkOptions>
{
    /// <summary>No outline and no scale in most of these files: what is decoded is refused a stage later, which is fine.</summary>
    public const string Request = """{"view":"end","scale":{"kind":"pitch","pixelsPerMm":5},"ruleBook":"spar"}""";

    private readonly string _folder = Directory.CreateTempSubdirectory("grainvision-hostile-").FullName;

    protected override void ConfigureWebHost(IWebHostBuilder builder)
    {
        ArgumentNullException.ThrowIfNull(builder);
        builder.UseSetting("GrainVision:Records:Folder", _folder);
        builder.UseSetting("Logging:LogLevel:Default", "None");
    }

    /// <summary>A client of the service once it is ready: what it loads at its start is not what a file costs.</summary>
    public new HttpClient CreateClient()
    {
        var client = base.CreateClient();
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(60));
        while (!Task.Run(async () => (await client.GetAsync("/health/ready", patience.Token)).IsSuccessStatusCode, patience.Token).GetAwaiter().GetResult())
            Thread.Sleep(50);
        return client;
    }

    /// <summary>Posts a file and holds the answer against the promise: 2xx, or a 4xx problem with code and advice.</summary>
    /// <returns>Status and code, for a failure's message.</returns>
    internal static async Task<(int Status, string Code)> Post(HttpClient client, string name, byte[] file, string request = Request)
    {
        using var form = new MultipartFormDataContent { { new ByteArrayContent(file), "photo", "photo.bin" }, { new StringContent(request), "request" } };
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(30));
        using var answer = await client.PostAsync("/v1/measurements", form, patience.Token);
        var status = (int)answer.StatusCode;
        var text = await answer.Content.ReadAsStringAsync(patience.Token);
        Assert.True(status is >= 200 and < 300 or >= 400 and < 500, $"{name}: {status} {text}");
        using var json = JsonDocument.Parse(text);
        if (status < 300)
            return (status, "");
        Assert.NotEmpty(json.RootElement.GetProperty("advice").GetString()!);
        return (status, json.RootElement.GetProperty("code").GetString()!);
    }

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        if (Directory.Exists(_folder))
            Directory.Delete(_folder, recursive: true);
        GC.SuppressFinalize(this);
    }
}
