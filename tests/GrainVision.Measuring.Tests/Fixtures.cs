namespace GrainVision.Measuring.Tests;

/// <summary>Files of <c>fixtures/</c>, whose credits are in <c>fixtures/registry.json</c>.</summary>
internal static class Fixtures
{
    /// <param name="file">Path within fixtures/.</param>
    public static string PathOf(string file)
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "GrainVision.sln")))
            folder = folder.Parent ?? throw new InvalidOperationException("GrainVision.sln not found above the tests.");
        return Path.Combine(folder.FullName, "fixtures", file);
    }
}
