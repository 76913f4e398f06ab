using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Synthesis;
using OpenCvSharp;
using Xunit.Abstractions;

namespace GrainVision.Accuracy.Tests;

/// <summary>Alone: what other tests allocate would be counted too.</summary>
[CollectionDefinition(nameof(NativeMemoryTests), DisableParallelization = true)]
public class MeasuredAlone;

/// <summary>Nothing native may be left behind: neither for the collector, which cannot see how large it is, nor for good.</summary>
[Collection(nameof(NativeMemoryTests))]
public class NativeMemoryTests(ITestOutputHelper output)
{
    /// <summary>The least that one forgotten full-size grey picture of these photos would take, MB: 0.6 MP of a byte.</summary>
    private const double OnePictureMb = 0.57;

    /// <summary>160 MB: managed memory that may be used without a collection; some jobs' worth.</summary>
    private const long NoCollectionBytes = 160L << 20;

    private static readonly Lazy<byte[][]> Photos = new(() =>
    [
        Photo(1, View.End, ScaleProp.Card), Photo(2, View.Face, ScaleProp.Card), Photo(3, View.End, ScaleProp.MmRule), Photo(4, View.Face, ScaleProp.Card),
    ]);

    [Fact]
    public void Jobs_WithoutACollection_GiveBackAllNativeMemory()
    {
        WarmUp();
        var growth = Enumerable.Range(0, 4).Select(GrowthWithoutCollection).Order().ToArray();
        output.WriteLine(string.Join(", ", growth.Select(g => $"{g:0.000} MB")));

        // Median: now and then a library fills a cache of its own.
        Assert.InRange(growth[2], -1, OnePictureMb / 2);
    }

    [Fact]
    public void Meter_MatThatNobodyDisposes_IsSeen()
    {
        new Mat(8, 8, MatType.CV_8UC1, Scalar.All(7)).Dispose(); // loads the library
        var before = NativeMemory.AllocatedMb();
        var forgotten = new Mat(900, 660, MatType.CV_8UC1, Scalar.All(7));
        Assert.True(NativeMemory.AllocatedMb() - before > OnePictureMb / 2);
        forgotten.Dispose();
        Assert.InRange(NativeMemory.AllocatedMb() - before, -OnePictureMb, OnePictureMb / 4);
    }

    [Fact]
    public void ManyJobs_AfterAWarmUp_DoNotGrowTheProcess()
    {
        WarmUp();
        var before = NativeMemory.ResidentMb();
        const int rounds = 6;
        for (var round = 0; round < rounds; round++)
        {
            foreach (var index in Enumerable.Range(0, Photos.Value.Length))
                Run(index);
        }

        var growth = NativeMemory.ResidentMb() - before;
        output.WriteLine($"{growth:0.0} MB over {rounds * Photos.Value.Length} jobs");

        // One grey picture left behind by each job would be 14 MB.
        Assert.True(growth < rounds * Photos.Value.Length * OnePictureMb / 2, $"grew by {growth:0.0} MB");
    }

    private static double GrowthWithoutCollection(int index)
    {
        GC.Collect();
        GC.WaitForPendingFinalizers();
        Assert.True(GC.TryStartNoGCRegion(NoCollectionBytes));
        var collections = GC.CollectionCount(0);
        var before = NativeMemory.AllocatedMb();
        Run(index);
        var growth = NativeMemory.AllocatedMb() - before;
        Assert.Equal(collections, GC.CollectionCount(0)); // else the finalizers may have tidied up
        GC.EndNoGCRegion();
        return growth;
    }

    private static void WarmUp()
    {
        for (var i = 0; i < 2; i++)
        {
            foreach (var index in Enumerable.Range(0, Photos.Value.Length))
                Run(index);
        }
    }

    private static void Run(int index)
    {
        RuleBookSet.Embedded.TryGet("spar", out var book);
        var request = new MeasuringRequest { View = index % 2 == 0 ? View.End : View.Face, Species = "sitka-spruce" };
        var (outcome, _) = DrawnAnswer.Run(Photos.Value[index], request, book);
        Assert.True(outcome.Found is not null, $"{index}: {outcome.Refusal?.Code}"); // a refusal would leave out most stages
    }

    private static byte[] Photo(int seed, View view, ScaleProp scale) => Synthesiser.Make(new SceneRequest
    {
        Seed = seed, View = view, Difficulty = Difficulty.Easy, Megapixels = 0.6, Scale = scale, RingsPerInch = 8, Species = "sitka-spruce",
    }).ToJpeg();
}
