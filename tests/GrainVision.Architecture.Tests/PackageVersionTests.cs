using System.Text.RegularExpressions;

namespace GrainVision.Architecture.Tests;

public partial class PackageVersionTests
{
    [Fact]
    public void PackageVersions_EveryLine_HasItsReasonAbove()
    {
        var lines = File.ReadAllLines(Repository.At("Directory.Packages.props"));
        var found = 0;
        for (var i = 1; i < lines.Length; i++)
        {
            if (!lines[i].Contains("<PackageVersion ", StringComparison.Ordinal))
                continue;
            found++;
            Assert.True(Reason().IsMatch(lines[i - 1]), $"No reason above: {lines[i].Trim()}");
        }

        Assert.True(found > 5);
    }

    [Fact]
    public void PackageVersions_OfFreeLines_ArePinned()
    {
        var text = File.ReadAllText(Repository.At("Directory.Packages.props"));
        Assert.Contains("\"SixLabors.ImageSharp\" Version=\"[2.1.13]\"", text, StringComparison.Ordinal);
        Assert.Contains("\"JsonSchema.Net\" Version=\"[8.0.5]\"", text, StringComparison.Ordinal);
        Assert.DoesNotContain("SixLabors.ImageSharp.Drawing", text, StringComparison.Ordinal);
        Assert.DoesNotContain("QuestPDF", text, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public void Projects_NameNoVersionOfTheirOwn()
    {
        foreach (var project in Directory.EnumerateFiles(Repository.Root, "*.csproj", SearchOption.AllDirectories))
            Assert.DoesNotMatch("PackageReference[^>]*Version=", File.ReadAllText(project));
    }

    // At least a few words and a full stop: "<!-- Test runner. -->".
    [GeneratedRegex(@"<!-- \S+( \S+)+\. -->")]
    private static partial Regex Reason();
}
