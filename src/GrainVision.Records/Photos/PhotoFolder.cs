using System.Security.Cryptography;

namespace GrainVision.Records.Photos;

/// <summary>A folder of photos or pictures, or a data folder that holds both, as a verifier sees it: only read, nothing made or cleaned up.</summary>
public sealed class PhotoFolder
{
    private readonly string[] _roots;
    private readonly Lazy<Dictionary<string, string>> _byName;

    /// <param name="root">A store, a folder with <c>photos</c> and <c>pictures</c> in it, or one with files named by their hash.</param>
    public PhotoFolder(string root)
    {
        _roots = [root, Path.Combine(root, "photos"), Path.Combine(root, "pictures")];
        _byName = new(() => _roots.Where(Directory.Exists).SelectMany(Directory.EnumerateFiles)
            .Where(f => Path.GetFileNameWithoutExtension(f).Length == 64)
            .DistinctBy(Path.GetFileNameWithoutExtension).ToDictionary(f => Path.GetFileNameWithoutExtension(f)));
    }

    /// <summary>What is wrong with the file of this hash, or null.</summary>
    public string? Problem(string sha256)
    {
        ArgumentNullException.ThrowIfNull(sha256);
        if (sha256.Length != 64 || !sha256.All(char.IsAsciiHexDigitLower))
            return "what is recorded is not a SHA-256.";
        if (Find(sha256) is not { } file)
            return "the file is missing.";
        using var stream = File.OpenRead(file);
        var hash = Convert.ToHexStringLower(SHA256.HashData(stream));
        return hash == sha256 ? null : $"the file was exchanged or changed; it has the hash {hash}.";
    }

    private string? Find(string sha256) =>
        _roots.Select(r => Path.Combine(r, sha256[..2], sha256[2..])).FirstOrDefault(File.Exists) ?? _byName.Value.GetValueOrDefault(sha256);
}
