using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json;

namespace GrainVision.Records.Log;

/// <summary>An entry as it is shown to a verifier: from the database or from a line of an exported log, its content parsed once.</summary>
public sealed class ShownEntry : IDisposable
{
    private static readonly JsonDocumentOptions Strict = new() { AllowDuplicateProperties = false };

    private readonly JsonDocument _parsed;
    private readonly ReadOnlyMemory<byte>? _written;

    private ShownEntry(JsonDocument parsed, ReadOnlyMemory<byte>? written, JsonElement? content, long number, string previousSha256, string contentSha256, string sha256)
    {
        (_parsed, _written, Content) = (parsed, written, content);
        (Number, PreviousSha256, ContentSha256, Sha256) = (number, previousSha256, contentSha256, sha256);
    }

    public long Number { get; }

    public string PreviousSha256 { get; }

    /// <summary>As stated; the verifier works it out from <see cref="Written"/>.</summary>
    public string ContentSha256 { get; }

    /// <summary>As stated; the verifier works it out from the other three.</summary>
    public string Sha256 { get; }

    /// <summary>What the entry says; null where it is withheld.</summary>
    public JsonElement? Content { get; }

    /// <summary>The content's bytes as they were written, UTF-8; empty where it is withheld.</summary>
    public ReadOnlySpan<byte> Written => _written is { } bytes ? bytes.Span : Content is { } content ? JsonMarshal.GetRawUtf8Value(content) : [];

    /// <summary>An entry of the database; null where its content is no JSON.</summary>
    public static ShownEntry? From(LogEntry entry)
    {
        ArgumentNullException.ThrowIfNull(entry);
        var written = Encoding.UTF8.GetBytes(entry.Content);
        try
        {
            var parsed = JsonDocument.Parse(written, Strict);
            return new ShownEntry(parsed, written, parsed.RootElement, entry.Number, entry.PreviousSha256, entry.ContentSha256, entry.Sha256);
        }
        catch (JsonException)
        {
            return null;
        }
    }

    /// <summary>A line of an exported log; null where it is no entry.</summary>
    public static ShownEntry? Parse(string line)
    {
        JsonDocument? parsed = null;
        try
        {
            parsed = JsonDocument.Parse(line, Strict);
            var root = parsed.RootElement;
            return new ShownEntry(
                parsed, null, root.TryGetProperty("content", out var content) ? content : null,
                root.GetProperty("number").GetInt64(), Text(root, "previousSha256"), Text(root, "contentSha256"), Text(root, "sha256"));
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException or KeyNotFoundException or FormatException)
        {
            parsed?.Dispose();
            return null;
        }
    }

    public void Dispose() => _parsed.Dispose();

    private static string Text(JsonElement element, string member) => element.GetProperty(member).GetString() ?? throw new FormatException("A hash is null.");
}
