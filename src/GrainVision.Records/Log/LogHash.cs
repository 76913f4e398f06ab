using System.Security.Cryptography;
using System.Text;

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
    public static string OfEntry(long number, string previousSha256, string contentSha256) =>
        Compute(Encoding.UTF8.GetBytes($"{{\"contentSha256\":\"{contentSha256}\",\"number\":{number},\"previousSha256\":\"{previousSha256}\"}}"));
}
