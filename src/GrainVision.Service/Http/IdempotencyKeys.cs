using System.Security.Cryptography;
using System.Text;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Measurements;

namespace GrainVision.Service.Http;

/// <summary>An Idempotency-Key as sent, or none.</summary>
internal sealed record SentKey(IdempotencyKey? Key);

/// <summary>Reads Idempotency-Key headers.</summary>
internal static class IdempotencyKeys
{
    /// <summary>200: longest idempotency key, characters; a UUID has 36.</summary>
    private const int Longest = 200;

    private static readonly Refusal Unfit = RefusalCatalog.IdempotencyKeyUnfit.Because($"The Idempotency-Key must be 1 to {Longest} visible ASCII characters.");

    /// <summary>The key, with a hash of everything that the request holds.</summary>
    public static Outcome<SentKey> Read(string? text, string client, params IReadOnlyList<string> content)
    {
        if (text is null)
            return new SentKey(null);
        if (text.Length is 0 or > Longest || text.Any(c => c is < '!' or > '~'))
            return Unfit;
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        foreach (var part in content)
            hash.AppendData(SHA256.HashData(Encoding.UTF8.GetBytes(part)));
        return new SentKey(new IdempotencyKey(client, text, Convert.ToHexStringLower(hash.GetHashAndReset())));
    }
}
