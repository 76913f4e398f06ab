using System.Security.Cryptography;

namespace GrainVision.Measuring;

/// <summary>Files of the folder <c>models</c> that travel inside the program, and how they are named by their hashes.</summary>
internal static class EmbeddedModel
{
    /// <summary>16 hex digits of a hash: enough to tell models apart.</summary>
    private const int HashDigits = 16;

    /// <param name="name">Of the resource after "GrainVision.Models.": "Blemishes.model.zip".</param>
    /// <exception cref="InvalidDataException">It is not there: a broken build.</exception>
    public static byte[] Read(string name)
    {
        using var stream = typeof(EmbeddedModel).Assembly.GetManifestResourceStream("GrainVision.Models." + name)
            ?? throw new InvalidDataException($"The model file {name} is missing from this build.");
        using var copy = new MemoryStream();
        stream.CopyTo(copy);
        return copy.ToArray();
    }

    /// <summary>Lower-case hex, as sha256sum writes it.</summary>
    public static string HashOf(byte[] bytes) => Convert.ToHexStringLower(SHA256.HashData(bytes));

    /// <summary>The start of an embedded file's hash.</summary>
    public static string ShortHashOf(string name) => HashOf(Read(name))[..HashDigits];
}
