using System.Text.RegularExpressions;
using GrainVision.Grading.Refusals;
using GrainVision.Service.Http;

namespace GrainVision.Architecture.Tests;

/// <summary>One catalogue of refusals: every code is used, nobody refuses past it, and the reference says what it says.</summary>
public partial class RefusalReferenceTests
{
    private const string UpdateSwitch = "GRAINVISION_UPDATE_REFERENCE";

    private static string Page => Repository.At("src/GrainVision.Service/REFUSALS.md");

    [Fact]
    public void RefusalReference_Page_IsTheCatalogue()
    {
        var text = RefusalReference.Markdown();
        if (Environment.GetEnvironmentVariable(UpdateSwitch) == "1")
            File.WriteAllText(Page, text);
        Assert.True(File.ReadAllText(Page) == text, $"REFUSALS.md is not what the catalogue says: run this test with {UpdateSwitch}=1.");
    }

    [Fact]
    public void RefusalReference_EveryCode_StandsOnThePageOnce()
    {
        var page = File.ReadAllText(Page);
        Assert.All(RefusalCatalog.All, k => Assert.Equal(1, page.Split($"| `{k.Code}` |").Length - 1));
    }

    [Fact]
    public void Catalogue_EveryEntry_IsUsed()
    {
        var used = Sources().SelectMany(s => Uses().Matches(s.Text)).Select(m => m.Groups[1].Value).ToHashSet();
        Assert.All(typeof(RefusalCatalog).GetProperties().Where(p => p.PropertyType == typeof(RefusalKind)), p => Assert.Contains(p.Name, used));
    }

    /// <summary>A code written as a string beside the catalogue would be a second catalogue.</summary>
    [Fact]
    public void Codes_OutsideTheCatalogue_AreNoStrings()
    {
        // "not-found" and the like are words of other lists too: only codes of three words and more cannot be anything else.
        var codes = RefusalCatalog.All.Select(k => k.Code).Where(c => c.Count(ch => ch == '-') >= 2).ToList();
        foreach (var (file, text) in Sources())
            Assert.All(codes, c => Assert.False(text.Contains($"\"{c}\"", StringComparison.Ordinal), $"{file} spells {c}"));
    }

    private static IEnumerable<(string File, string Text)> Sources() => Directory.EnumerateFiles(Repository.At("src"), "*.cs", SearchOption.AllDirectories)
        .Where(f => Path.GetFileName(f) != "RefusalCatalog.cs").Select(f => (Path.GetFileName(f), File.ReadAllText(f)));

    [GeneratedRegex(@"RefusalCatalog\.(\w+)")]
    private static partial Regex Uses();
}
