using System.Security.Cryptography;
using System.Text.Json.Nodes;
using SkiaSharp;

namespace GrainVision.Presentation.Tests;

/// <summary>
/// Pictures and texts as they were when a person last looked at them, under fixtures/golden. With GRAINVISION_UPDATE_GOLDEN=1 the tests write them
/// anew, with their hashes; look at what git shows before it is committed.
/// </summary>
internal static class Golden
{
    /// <summary>400 px: a changed word or line still shows, and a file stays small.</summary>
    private const int WidthPx = 400;

    /// <summary>12 of 255 levels: processors round resizing and edges differently, by a level or two; a changed digit moves shrunk pixels by 30 or more.</summary>
    private const int GreatestLevels = 12;

    private static readonly Lock Writing = new();

    private static bool Updates => Environment.GetEnvironmentVariable("GRAINVISION_UPDATE_GOLDEN") == "1";

    public static void CheckPicture(string name, byte[] encoded)
    {
        using var full = SKBitmap.Decode(encoded);
        using var shrunk = full.Resize(
            new SKImageInfo(WidthPx, (int)Math.Round((double)WidthPx * full.Height / full.Width), SKColorType.Bgra8888, SKAlphaType.Opaque),
            new SKSamplingOptions(SKFilterMode.Linear, SKMipmapMode.Linear));
        if (Updates)
        {
            using var png = shrunk.Encode(SKEncodedImageFormat.Png, 100);
            Write(name, png.ToArray());
        }

        using var golden = SKBitmap.Decode(File.ReadAllBytes(At(name)));
        Assert.Equal((golden.Width, golden.Height), (shrunk.Width, shrunk.Height));
        using var same = golden.ColorType == SKColorType.Bgra8888 ? golden.Copy() : golden.Copy(SKColorType.Bgra8888);
        var was = same.GetPixelSpan();
        var now = shrunk.GetPixelSpan();
        var (levels, at) = (0, 0);
        for (var i = 0; i < was.Length; i++)
        {
            if (Math.Abs(was[i] - now[i]) is var d && d > levels)
                (levels, at) = (d, i / 4);
        }

        if (levels > GreatestLevels)
            Assert.Fail($"{name} differs by {levels} levels at {at % WidthPx}, {at / WidthPx}; as drawn now: {Keep(name, shrunk)}.");
    }

    public static void CheckText(string name, string text)
    {
        if (Updates)
            Write(name, System.Text.Encoding.UTF8.GetBytes(text));
        Assert.Equal(File.ReadAllText(At(name)), text);
    }

    private static string Keep(string name, SKBitmap drawn)
    {
        var file = Path.Combine(Path.GetTempPath(), "grainvision-" + name);
        using var png = drawn.Encode(SKEncodedImageFormat.Png, 100);
        File.WriteAllBytes(file, png.ToArray());
        return file;
    }

    /// <summary>The file, the list of hashes and that list's own hash in the registry of fixtures.</summary>
    private static void Write(string name, byte[] bytes)
    {
        lock (Writing)
        {
            Directory.CreateDirectory(At(""));
            File.WriteAllBytes(At(name), bytes);
            var sums = string.Concat(Directory.EnumerateFiles(At("")).Where(f => Path.GetFileName(f) != "SHA256SUMS").Order(StringComparer.Ordinal)
                .Select(f => $"{HashOf(File.ReadAllBytes(f))}  {Path.GetFileName(f)}\n"));
            File.WriteAllText(At("SHA256SUMS"), sums);
            var registry = Path.Combine(At(".."), "registry.json");
            var text = File.ReadAllText(registry);
            var old = JsonNode.Parse(text)!.AsArray().Single(e => (string?)e!["file"] == "golden/SHA256SUMS")!["sha256"]!.GetValue<string>();
            File.WriteAllText(registry, text.Replace(old, HashOf(File.ReadAllBytes(At("SHA256SUMS"))), StringComparison.Ordinal));
        }
    }

    private static string HashOf(byte[] bytes) => Convert.ToHexStringLower(SHA256.HashData(bytes));

    private static string At(string name)
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "GrainVision.sln")))
            folder = folder.Parent ?? throw new InvalidOperationException("GrainVision.sln not found above the tests.");
        return Path.Combine(folder.FullName, "fixtures", "golden", name);
    }
}
