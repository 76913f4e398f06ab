using System.CommandLine;
using System.Net.Http.Headers;
using System.Text;
using GrainVision.Grading.Refusals;

namespace GrainVision.Cli;

/// <summary>A log to read line by line: an exported file, or a service that is asked to export it.</summary>
internal static class LogSource
{
    public static Argument<string> Argument() => new("LOG") { Description = "Exported log (JSON lines), or the address of a service such as http://127.0.0.1:5080." };

    public static Option<string?> KeyOption() => new("--api-key") { Description = "API key, where the service asks for one (or GRAINVISION_API_KEY)." };

    /// <summary>Hands every line to <paramref name="take"/> until it answers false. A refusal where the log cannot be read.</summary>
    public static async Task<Refusal?> ReadLines(string log, string? apiKey, Func<string, bool> take, CancellationToken cancel)
    {
        try
        {
            using var http = new HttpClient { Timeout = Timeout.InfiniteTimeSpan };
            await using var stream = await Open(http, log, apiKey, cancel);
            if (stream is null)
                return RefusalCatalog.NoSuchFile.Because($"There is no file {log}.", "Give an exported log, or the address of a service with http:// before it.");
            using var reader = new StreamReader(stream, new UTF8Encoding(false), detectEncodingFromByteOrderMarks: false, bufferSize: 1 << 16);
            while (await reader.ReadLineAsync(cancel) is { } line)
            {
                if (!take(line))
                    break;
            }

            return null;
        }
        catch (Exception e) when (e is HttpRequestException or IOException)
        {
            return RefusalCatalog.LogUnreadable.Because($"The log cannot be read from {log}: {e.Message}");
        }
    }

    private static async Task<Stream?> Open(HttpClient http, string log, string? apiKey, CancellationToken cancel)
    {
        if (!Uri.TryCreate(log, UriKind.Absolute, out var address) || address.Scheme is not ("http" or "https"))
            return File.Exists(log) ? File.OpenRead(log) : null;
        apiKey ??= Environment.GetEnvironmentVariable("GRAINVISION_API_KEY");
        if (!string.IsNullOrEmpty(apiKey))
            http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", apiKey);
        return await http.GetStreamAsync(new Uri(address, "/v1/log/export"), cancel);
    }
}
