using System.Reflection;
using GrainVision.Cutting;
using GrainVision.Grading.Findings;
using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;
using GrainVision.Presentation.Pictures;
using GrainVision.Records.Schema;
using GrainVision.Service.Measurements;
using NetArchTest.Rules;

namespace GrainVision.Architecture.Tests;

/// <summary>Who may reference whom (design.md, 3): dependencies point inward, and pixels stay in one place.</summary>
public class DependencyTests
{
    private static readonly Assembly Grading = typeof(Measurement).Assembly;
    private static readonly Assembly Measuring = typeof(MeasureJob).Assembly;
    private static readonly Assembly Presentation = typeof(PictureDrawer).Assembly;
    private static readonly Assembly Cutting = typeof(CutPlanner).Assembly;
    private static readonly Assembly Records = typeof(RecordsDatabase).Assembly;
    private static readonly Assembly MeasuredPhotos = typeof(PhotoJob).Assembly;
    private static readonly Assembly Service = typeof(WorkOptions).Assembly;
    private static readonly Assembly Cli = Assembly.Load("grainvision");

    /// <summary>Roots of the namespaces of everything that reads pixels or holds a model.</summary>
    private static readonly string[] ReadingLibraries = ["OpenCvSharp", "SixLabors", "Microsoft.ML"];

    private const string DrawingLibrary = "SkiaSharp";

    [Fact]
    public void Grading_ReferencesNothingOfOursAndNoPackage()
    {
        Assert.Empty(Repository.ProjectReferences("GrainVision.Grading"));
        Assert.Empty(Repository.Packages("GrainVision.Grading"));
        Assert.All(Grading.GetReferencedAssemblies(), a => Assert.True(IsFramework(a.Name!), $"Grading references {a.Name}"));
    }

    [Fact]
    public void Grading_KnowsNoClockAndNoFiles()
    {
        var result = Types.InAssembly(Grading).ShouldNot().HaveDependencyOnAny("System.IO.File", "System.IO.Directory", "System.IO.FileStream", "System.TimeProvider").GetResult();
        Assert.True(result.IsSuccessful, Names(result));
    }

    [Fact]
    public void MeasuringAndRecords_NeverSeeEachOther()
    {
        Assert.Equal(["GrainVision.Grading"], Repository.ProjectReferences("GrainVision.Measuring"));
        Assert.Equal(["GrainVision.Grading"], Repository.ProjectReferences("GrainVision.Records"));
        AssertNoDependency(Measuring, "GrainVision.Records", "GrainVision.Service", "Microsoft.AspNetCore", "Microsoft.Data.Sqlite");
        AssertNoDependency(Records, "GrainVision.Measuring", "GrainVision.Service", "Microsoft.AspNetCore");
    }

    [Fact]
    public void PixelLibraries_MeasuringHasTheirReadersAndPresentationTheOneThatDraws()
    {
        var all = new[]
        {
            ("GrainVision.Grading", Grading), ("GrainVision.Cutting", Cutting), ("GrainVision.MeasuredPhotos", MeasuredPhotos), ("GrainVision.Measuring", Measuring),
            ("GrainVision.Presentation", Presentation),
            ("GrainVision.Records", Records), ("GrainVision.Service", Service), ("GrainVision.Cli", Cli),
        };
        Assert.Equal(Directory.EnumerateDirectories(Repository.At("src")).Select(f => Path.GetFileName(f)).Order(), all.Select(a => a.Item1).Order());
        foreach (var (project, assembly) in all)
        {
            string[] banned = project switch
            {
                "GrainVision.Measuring" => [DrawingLibrary],
                "GrainVision.Presentation" => ReadingLibraries,
                _ => [DrawingLibrary, .. ReadingLibraries],
            };
            Assert.DoesNotContain(Repository.Packages(project), p => banned.Any(l => p.StartsWith(l, StringComparison.Ordinal)));
            Assert.DoesNotContain(assembly.GetReferencedAssemblies(), a => banned.Any(l => a.Name!.StartsWith(l, StringComparison.Ordinal)));
            AssertNoDependency(assembly, banned);
        }

        // Else the checks above would check nothing.
        Assert.Contains(Measuring.GetReferencedAssemblies(), a => a.Name == "OpenCvSharp");
        Assert.Contains(Presentation.GetReferencedAssemblies(), a => a.Name == DrawingLibrary);
    }

    [Fact]
    public void Presentation_SeesGradingAlone()
    {
        Assert.Equal(["GrainVision.Grading"], Repository.ProjectReferences("GrainVision.Presentation"));
        AssertNoDependency(Presentation, "GrainVision.Measuring", "GrainVision.Records", "GrainVision.Service", "Microsoft.AspNetCore", "Microsoft.Data.Sqlite");
        AssertNoDependency(Measuring, "GrainVision.Presentation");
        AssertNoDependency(Records, "GrainVision.Presentation");
    }

    [Fact]
    public void MeasuredPhotos_IsWhereMeasuringAndDrawingMeet()
    {
        Assert.Equal(["GrainVision.Grading", "GrainVision.Measuring", "GrainVision.Presentation"], Repository.ProjectReferences("GrainVision.MeasuredPhotos"));
        AssertNoDependency(MeasuredPhotos, "GrainVision.Records", "GrainVision.Service", "Microsoft.AspNetCore", "Microsoft.Data.Sqlite");
    }

    [Fact]
    public void Solver_IsReferencedByCuttingAlone()
    {
        Assert.Equal(["GrainVision.Grading"], Repository.ProjectReferences("GrainVision.Cutting"));
        Assert.Equal(["Google.OrTools", "Google.Protobuf"], Repository.Packages("GrainVision.Cutting"));
        foreach (var assembly in new[] { Grading, Measuring, Presentation, MeasuredPhotos, Records, Service, Cli })
            AssertNoDependency(assembly, "Google.OrTools", "Google.Protobuf");
        foreach (var project in Directory.EnumerateDirectories(Repository.At("src")).Select(f => Path.GetFileName(f)).Where(p => p != "GrainVision.Cutting"))
            Assert.DoesNotContain(Repository.Packages(project), p => p.StartsWith("Google.", StringComparison.Ordinal));
    }

    [Fact]
    public void Cli_IsAClientOfTheServiceAndNotAPartOfIt()
    {
        // Records: a log is verified and a backup made without a service.
        Assert.Equal(["GrainVision.Grading", "GrainVision.MeasuredPhotos", "GrainVision.Measuring", "GrainVision.Records"], Repository.ProjectReferences("GrainVision.Cli"));
        AssertNoDependency(Cli, "GrainVision.Service", "Microsoft.AspNetCore", "Microsoft.Data.Sqlite");
    }

    [Fact]
    public void Service_IsReferencedByNoProjectUnderSrc()
    {
        foreach (var folder in Directory.EnumerateDirectories(Repository.At("src")))
            Assert.DoesNotContain("GrainVision.Service", Repository.ProjectReferences(Path.GetFileName(folder)));
    }

    [Fact]
    public void Measuring_OpensNoFiles()
    {
        // Bytes in, result out: a file name from a request can then reach nothing. Streams over memory are fine.
        var result = Types.InAssembly(Measuring).ShouldNot().HaveDependencyOnAny("System.IO.File", "System.IO.Directory", "System.IO.FileStream").GetResult();
        Assert.True(result.IsSuccessful, Names(result));
    }

    private static void AssertNoDependency(Assembly assembly, params string[] namespaces)
    {
        var result = Types.InAssembly(assembly).ShouldNot().HaveDependencyOnAny(namespaces).GetResult();
        Assert.True(result.IsSuccessful, Names(result));
    }

    private static string Names(TestResult result) => string.Join(", ", result.FailingTypeNames ?? []);

    private static bool IsFramework(string name) => name.StartsWith("System.", StringComparison.Ordinal) || name is "System" or "netstandard" or "mscorlib";
}
