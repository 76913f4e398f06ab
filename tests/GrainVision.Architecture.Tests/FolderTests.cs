using GrainVision.Dependencies;

namespace GrainVision.Architecture.Tests;

/// <summary>Folders of a project use each other one way. `dotnet run --project tools/GrainVision.Dependencies` prints who uses whom.</summary>
public class FolderTests
{
    public static TheoryData<string> Assemblies =>
        [.. Directory.EnumerateFiles(AppContext.BaseDirectory, "*.dll").Where(Projects.IsOurs).Select(f => Path.GetFileName(f))];

    [Theory]
    [MemberData(nameof(Assemblies))]
    public void Folders_UseEachOtherOneWay(string assembly)
    {
        var graph = FolderGraph.Read(Path.Combine(AppContext.BaseDirectory, assembly));
        Assert.NotEmpty(graph.Uses);
        Assert.Empty(graph.Cycles().Select(ring => string.Join(" <-> ", ring)));
    }

    /// <summary>The test itself can fail: a graph with a ring on paper has it found, the root apart.</summary>
    [Fact]
    public void Cycles_OfAGraphWithARing_NamesIt()
    {
        var graph = new FolderGraph("paper", new Dictionary<string, IReadOnlyCollection<string>>
        {
            ["."] = ["A", "B"],
            ["A"] = ["B", "."],
            ["B"] = ["C"],
            ["C"] = ["A"],
            ["D"] = ["A"],
        });
        Assert.Equal(["A", "B", "C"], Assert.Single(graph.Cycles()));
    }
}
