using System.CommandLine;
using System.Net.Http.Headers;
using System.Net.Http.Json;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Log;

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

    /// <summary>What a service finds when it holds its tables against its log: an export cannot show that. Null where LOG is a file.</summary>
    public static async Task<Outcome<LogVerification>?> AskForTables(string log, string? apiKey, CancellationToken cancel)
    {
        if (AddressOf(log) is not { } address)
            return null;
        try
        {
            using var http = new HttpClient { Timeout = Timeout.InfiniteTimeSpan };
            Identify(http, apiKey);
            return await http.GetFromJsonAsync<LogVerification>(new Uri(address, "/v1/log/verification"), ContractJson.Options, cancel)
                ?? (Outcome<LogVerification>)RefusalCatalog.LogUnreadable.Because($"The service at {log} did not say whether its tables are whole.");
        }
        catch (Exception e) when (e is HttpRequestException or IOException or JsonException)
        {
            return RefusalCatalog.LogUnreadable.Because($"The service at {log} did not say whether its tables are whole: {e.Message}");
        }
    }

    private static async Task<Stream?> Open(HttpClient http, string log, string? apiKey, CancellationToken cancel)
    {
        if (AddressOf(log) is not { } address)
            return File.Exists(log) ? File.OpenRead(log) : null;
        Identify(http, apiKey);
        return await http.GetStreamAsync(new Uri(address, "/v1/log/export"), cancel);
    }

    private static Uri? AddressOf(string log) => Uri.TryCreate(log, UriKind.Absolute, out var address) && address.Scheme is "http" or "https" ? address : null;

    private static void Identify(HttpClient http, string? apiKey)
    {
        apiKey ??= Environment.GetEnvironmentVariable("GRAINVISION_API_KEY");
        if (!string.IsNullOrEmpty(apiKey))
            http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", apiKey);
    }
}
