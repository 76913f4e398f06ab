namespace GrainVision.Hostile.Tests;

/// <summary>The damaged, rare and malicious files of fixtures/hostile (sources and licences in fixtures/registry.json).</summary>
internal static class HostileFiles
{
    public static string Root { get; } = FindRoot();

    /// <summary>All of them; licences and hash lists too, which are no photos either.</summary>
    public static IReadOnlyList<string> All { get; } = [.. Directory.EnumerateFiles(Root, "*", SearchOption.AllDirectories).Order(StringComparer.Ordinal)];

    public static string NameOf(string file) => Path.GetRelativePath(Root, file);

    private static string FindRoot()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder!.FullName, "GrainVision.sln")))
            folder = folder.Parent;
        return Path.Combine(folder.FullName, "fixtures", "hostile");
    }
}
