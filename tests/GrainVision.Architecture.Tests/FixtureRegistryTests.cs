using System.Security.Cryptography;
using System.Text.Json;

namespace GrainVision.Architecture.Tests;

/// <summary>Every fixture is registered with its source and licence, and is the file that was registered.</summary>
public class FixtureRegistryTests
{
    private const string HashList = "SHA256SUMS";

    private static readonly string[] Members = ["file", "sha256", "source", "licence", "credit", "truth", "measuredBy"];

    [Fact]
    public void Registry_EveryEntry_IsCompleteAndMatchesItsFile()
    {
        var entries = Entries();
        Assert.NotEmpty(entries);
        Assert.Equal(entries.Count, entries.Select(e => e.GetProperty("file").GetString()).Distinct().Count());
        foreach (var entry in entries)
        {
            var file = entry.GetProperty("file").GetString()!;
            foreach (var member in Members)
                Assert.False(string.IsNullOrWhiteSpace(entry.GetProperty(member).GetString()), $"{file} has no {member}");
            Assert.Equal(entry.GetProperty("sha256").GetString(), HashOf(Fixture(file)));
        }
    }

    [Fact]
    public void Registry_EveryFixture_IsRegisteredOrInARegisteredHashList()
    {
        var known = new HashSet<string>(["registry.json", "accuracy-gate.json", "real-gate.json"]); // the gates are written by the accuracy tool and change with every improvement
        foreach (var file in Entries().Select(e => e.GetProperty("file").GetString()!))
        {
            known.Add(file);
            if (Path.GetFileName(file) != HashList)
                continue;
            var folder = Path.GetDirectoryName(file)!;
            foreach (var line in File.ReadAllLines(Fixture(file)))
            {
                // As sha256sum writes it: hash, two spaces, name.
                var (hash, name) = (line[..64], line[66..]);
                Assert.Equal(hash, HashOf(Fixture(Path.Combine(folder, name))));
                known.Add(Path.Combine(folder, name));
            }
        }

        var root = Repository.At("fixtures");
        var unknown = Directory.EnumerateFiles(root, "*", SearchOption.AllDirectories).Select(f => Path.GetRelativePath(root, f)).Where(f => !known.Contains(f));
        Assert.Empty(unknown);
    }

    private static List<JsonElement> Entries() => [.. JsonDocument.Parse(File.ReadAllText(Fixture("registry.json"))).RootElement.EnumerateArray()];

    private static string Fixture(string file) => Repository.At("fixtures", file);

    private static string HashOf(string path) => Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(path)));
}
