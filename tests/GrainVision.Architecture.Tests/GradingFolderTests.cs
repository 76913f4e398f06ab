using System.Text.RegularExpressions;

namespace GrainVision.Architecture.Tests;

/// <summary>Grading's folders use each other one way only (design.md, 3).</summary>
public partial class GradingFolderTests
{
    /// <summary>A folder may use those before it.</summary>
    private static readonly string[] Order = ["Quantities", "Refusals", "Lumber", "Findings", "ByHand", "Rules", "Verdicts", "Pieces", "Questions", "Cards", "Deliveries", "Trials"];

    [Fact]
    public void Grading_Folders_UseOnlyThoseBeforeThem()
    {
        var root = Repository.At("src/GrainVision.Grading");
        var files = Directory.EnumerateFiles(root, "*.cs", SearchOption.AllDirectories).ToList();
        Assert.NotEmpty(files);
        foreach (var file in files)
        {
            var folder = Path.GetRelativePath(root, file).Split(Path.DirectorySeparatorChar)[0];
            Assert.Contains(folder, Order);
            var text = File.ReadAllText(file);
            Assert.Contains($"namespace GrainVision.Grading.{folder};", text, StringComparison.Ordinal);
            foreach (var used in Uses().Matches(text).Select(m => m.Groups[1].Value).Where(u => u != folder && Order.Contains(u)))
                Assert.True(Array.IndexOf(Order, used) < Array.IndexOf(Order, folder), $"{folder}/{Path.GetFileName(file)} uses {used}");
        }
    }

    // "using GrainVision.Grading.Findings;", and a name written out such as "Findings.Measurement" after it.
    [GeneratedRegex(@"GrainVision\.Grading\.(\w+)")]
    private static partial Regex Uses();
}
