using System.Buffers;
using System.Security.Cryptography;
using System.Text.Json;

namespace GrainVision.Records.Log;

/// <summary>
/// The two hashes of an entry. The content has its own, so that a part of the log can be shown with the chain unbroken and other
/// people's entries withheld.
/// </summary>
public static class LogHash
{
    /// <summary>SHA-256 of bytes, lower-case hex.</summary>
    public static string Compute(ReadOnlySpan<byte> bytes) => Convert.ToHexStringLower(SHA256.HashData(bytes));

    /// <summary>Hash of an entry: SHA-256 of the canonical JSON <c>{"contentSha256":…,"number":…,"previousSha256":…}</c>.</summary>
    public static string OfEntry(long number, string previousSha256, string contentSha256)
    {
        var to = new ArrayBufferWriter<byte>(256);
        using (var json = new Utf8JsonWriter(to))
        {
            json.WriteStartObject();
            json.WriteString("contentSha256"u8, contentSha256);
            json.WriteNumber("number"u8, number);
            json.WriteString("previousSha256"u8, previousSha256);
            json.WriteEndObject();
        }

        return Compute(to.WrittenSpan);
    }
}
