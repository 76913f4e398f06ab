namespace GrainVision.Records.Tests;

internal static class Fixtures
{
    public static string At(string path)
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder!.FullName, "GrainVision.sln")))
            folder = folder.Parent;
        return Path.Combine(folder.FullName, "fixtures", path);
    }
}
