using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;

namespace GrainVision.Records.Log;

/// <summary>How the log stood at a moment. Whoever keeps one elsewhere can tell later whether the log was cut, rolled back or rewritten.</summary>
/// <param name="Number">Of the last entry.</param>
/// <param name="Sha256">Its hash.</param>
/// <param name="At">When it was made, UTC, as in the log.</param>
public sealed record Checkpoint(long Number, string Sha256, string At)
{
    /// <summary>A checkpoint of a log as it was just verified.</summary>
    public static Checkpoint From(LogVerification verified, DateTimeOffset now)
    {
        ArgumentNullException.ThrowIfNull(verified);
        return new Checkpoint(verified.Head, verified.HeadSha256, now.ToUniversalTime().ToString(LogWriter.TimeFormat, CultureInfo.InvariantCulture));
    }

    /// <summary>What is signed: canonical JSON.</summary>
    internal byte[] Bytes() => CanonicalJson.From(JsonSerializer.SerializeToElement(this, ContractJson.Options));
}

/// <summary>
/// A checkpoint with its signature: ECDSA over P-256 with SHA-256, DER-encoded (FIPS 186-5, RFC 3279), which OpenSSL reads too.
/// </summary>
/// <param name="Checkpoint">What was signed.</param>
/// <param name="Signature">Base-64.</param>
/// <param name="KeySha256">Which key signed: SHA-256 of its public half (SubjectPublicKeyInfo).</param>
public sealed record SignedCheckpoint(Checkpoint Checkpoint, string Signature, string KeySha256)
{
    /// <summary>A new pair of keys as PEM. The private one is the shop's to keep, away from the service.</summary>
    public static (string PrivatePem, string PublicPem) NewKey()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        return (key.ExportPkcs8PrivateKeyPem(), key.ExportSubjectPublicKeyInfoPem());
    }

    /// <summary>Signs a checkpoint.</summary>
    /// <exception cref="ArgumentException">The PEM holds no private key of an elliptic curve.</exception>
    public static SignedCheckpoint Sign(Checkpoint checkpoint, string privatePem)
    {
        ArgumentNullException.ThrowIfNull(checkpoint);
        using var key = ECDsa.Create();
        key.ImportFromPem(privatePem);
        var signature = key.SignData(checkpoint.Bytes(), HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence);
        return new SignedCheckpoint(checkpoint, Convert.ToBase64String(signature), LogHash.Compute(key.ExportSubjectPublicKeyInfo()));
    }

    /// <summary>True where the holder of this key signed this very checkpoint.</summary>
    /// <exception cref="ArgumentException">The PEM holds no public key of an elliptic curve.</exception>
    public bool IsSignedBy(string publicPem)
    {
        using var key = ECDsa.Create();
        key.ImportFromPem(publicPem);
        var signature = new byte[Signature.Length];
        return Convert.TryFromBase64String(Signature, signature, out var length)
            && key.VerifyData(Checkpoint.Bytes(), signature.AsSpan(0, length), HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence);
    }

    /// <summary>The file's text.</summary>
    public string Write() => Encoding.UTF8.GetString(CanonicalJson.From(JsonSerializer.SerializeToElement(this, ContractJson.Options))) + "\n";

    /// <summary>Reads a file's text; null where it is no checkpoint.</summary>
    public static SignedCheckpoint? Read(string text)
    {
        try
        {
            var read = JsonSerializer.Deserialize<SignedCheckpoint>(text, ContractJson.Options);
            return read is { Checkpoint: { Number: > 0, Sha256: not null, At: not null }, Signature: not null, KeySha256: not null } ? read : null;
        }
        catch (JsonException)
        {
            return null;
        }
    }
}
