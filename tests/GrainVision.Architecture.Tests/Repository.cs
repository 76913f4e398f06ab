using System.Xml.Linq;

namespace GrainVision.Architecture.Tests;

/// <summary>The working tree that these tests were built from.</summary>
internal static class Repository
{
    public static string Root { get; } = FindRoot();

    public static string At(params string[] parts) => Path.Combine([Root, .. parts]);

    /// <summary>Project file of a project under src.</summary>
    public static XDocument Project(string name) => XDocument.Load(At("src", name, name + ".csproj"));

    /// <summary>Our own projects that a project under src references, by name.</summary>
    public static string[] ProjectReferences(string name) =>
        [.. Project(name).Descendants("ProjectReference").Select(r => Path.GetFileNameWithoutExtension(r.Attribute("Include")!.Value.Replace('\\', '/'))).Order()];

    public static string[] Packages(string name) => [.. Project(name).Descendants("PackageReference").Select(r => r.Attribute("Include")!.Value).Order()];

    private static string FindRoot()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder!.FullName, "GrainVision.sln")))
            folder = folder.Parent;
        return folder.FullName;
    }
}
