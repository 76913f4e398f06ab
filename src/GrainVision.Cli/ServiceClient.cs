using System.Net.Http.Headers;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;

namespace GrainVision.Cli;

/// <summary>The HTTP API as the command line uses it.</summary>
internal sealed class ServiceClient : IDisposable
{
    private readonly HttpClient _http;

    public ServiceClient(Uri server, string? apiKey)
    {
        // A minute's measuring and a slow upload fit into five minutes.
        _http = new HttpClient { BaseAddress = server, Timeout = TimeSpan.FromMinutes(5) };
        if (!string.IsNullOrEmpty(apiKey))
            _http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", apiKey);
    }

    /// <summary>Posts a photo; gives the measurement's JSON as answered.</summary>
    public async Task<Outcome<string>> Measure(byte[] photo, string fileName, string requestJson, CancellationToken cancel)
    {
        using var form = new MultipartFormDataContent
        {
            { new ByteArrayContent(photo), "photo", fileName },
            { new StringContent(requestJson), "request" },
        };
        return await Send(() => _http.PostAsync("/v1/measurements", form, cancel), cancel);
    }

    /// <summary>Gets an address of the service as text.</summary>
    public Task<Outcome<string>> Get(string path, CancellationToken cancel) => Send(() => _http.GetAsync(path, cancel), cancel);

    /// <summary>Posts JSON.</summary>
    public Task<Outcome<string>> Post(string path, string json, CancellationToken cancel) =>
        Send(() => _http.PostAsync(path, new StringContent(json, System.Text.Encoding.UTF8, "application/json"), cancel), cancel);

    /// <summary>Posts JSON that creates something: a repeat with the same key gives the first answer.</summary>
    public Task<Outcome<string>> Post(string path, string json, string key, CancellationToken cancel) => Send(
        () =>
        {
            var content = new StringContent(json, System.Text.Encoding.UTF8, "application/json");
            content.Headers.Add("Idempotency-Key", key);
            return _http.PostAsync(path, content, cancel);
        },
        cancel);

    /// <summary>Sends photos to a delivery, straight from disk. Harmless to repeat: a photo is its content.</summary>
    public Task<Outcome<string>> SendPhotos(string deliveryId, IReadOnlyList<FileInfo> files, FileInfo? manifest, CancellationToken cancel) => Send(
        async () =>
        {
            using var form = new MultipartFormDataContent();
            foreach (var file in files)
                form.Add(new StreamContent(file.OpenRead()), "photos", file.Name);
            if (manifest is not null)
                form.Add(new StreamContent(manifest.OpenRead()), "manifest", manifest.Name);
            return await _http.PostAsync($"/v1/deliveries/{Uri.EscapeDataString(deliveryId)}/photos", form, cancel);
        },
        cancel);

    /// <summary>Gets a file's bytes.</summary>
    public async Task<Outcome<byte[]>> TryGetBytes(string path, CancellationToken cancel)
    {
        byte[]? bytes = null;
        var outcome = await Send(
            async () =>
            {
                var answer = await _http.GetAsync(path, cancel);
                bytes = answer.IsSuccessStatusCode ? await answer.Content.ReadAsByteArrayAsync(cancel) : null;
                return answer;
            },
            cancel);
        return bytes is not null ? bytes : outcome.Refusal!;
    }

    /// <summary>Gets a picture's bytes.</summary>
    public Task<byte[]> GetBytes(string path, CancellationToken cancel) => _http.GetByteArrayAsync(path, cancel);

    public void Dispose() => _http.Dispose();

    private async Task<Outcome<string>> Send(Func<Task<HttpResponseMessage>> call, CancellationToken cancel)
    {
        try
        {
            using var answer = await call();
            var text = await answer.Content.ReadAsStringAsync(cancel);
            return answer.IsSuccessStatusCode ? text : ReadProblem(text, (int)answer.StatusCode);
        }
        catch (Exception e) when (e is HttpRequestException or IOException)
        {
            return RefusalCatalog.ServiceUnreachable.Because($"No service answers at {_http.BaseAddress}.");
        }
    }

    private static Refusal ReadProblem(string text, int status)
    {
        try
        {
            var problem = JsonSerializer.Deserialize<Problem>(text, ContractJson.Options);
            if (problem?.Code is { } code)
                return Refusal.Relayed(code, problem.Stage ?? "service", FateOf(status), problem.Detail ?? code, problem.Advice ?? "");
        }
        catch (JsonException)
        {
            // Not our own answer: a proxy's page, perhaps.
        }

        return RefusalCatalog.UnexpectedAnswer.Because($"The service answered {status}.");
    }

    /// <summary>Only "try again later" and "not the caller's fault" matter here.</summary>
    private static RefusalFate FateOf(int status) => status switch
    {
        429 => RefusalFate.TooBusy,
        >= 500 => RefusalFate.OurFault,
        _ => RefusalFate.BadRequest,
    };

    private sealed record Problem(string? Code, string? Stage, string? Detail, string? Advice);
}
