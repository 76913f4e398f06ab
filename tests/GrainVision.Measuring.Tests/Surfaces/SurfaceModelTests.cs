using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Surfaces;
using GrainVision.Synthesis;

namespace GrainVision.Measuring.Tests.Surfaces;

/// <summary>The shipped surface model on pictures that it was not taught or fitted on, through the whole pipeline.</summary>
public sealed class SurfaceModelTests
{
    [Theory]
    [InlineData(View.End)]
    [InlineData(View.Face)]
    public void Embedded_DecisionBelongsToTheNetworkAndSaysWhatHolds(View view)
    {
        var decision = RegionTrees.Embedded(view).Decision;
        Assert.Equal(RegionFeatures.Names, decision.Features);
        Assert.InRange(decision.AskFrom, 0.001, 0.9);
        Assert.InRange(decision.Alpha, 0.001, 0.2);
        // What it says of itself must follow from its counts (Clopper and Pearson 1934).
        Assert.True(DecisionFit.RiskControl.BinomialTail(decision.CalledClear, decision.Blemished, decision.Alpha) <= decision.Delta + 1e-3);
    }

    [Fact]
    public void Classify_FromManyThreads_SameAnswers()
    {
        var rows = Enumerable.Range(0, 8).Select(i => RegionFeatures.Names.Select((_, k) => (float)Math.Sin((i * 31) + k)).ToArray()).ToList();
        var once = RegionTrees.Embedded(View.Face).Classify(rows);
        var many = Enumerable.Range(0, 8).AsParallel().Select(_ => RegionTrees.Embedded(View.Face).Classify(rows)).ToList();
        Assert.All(once, p => Assert.Equal(1, p.Sum(), 9));
        Assert.All(many, answer => Assert.Equal(once.SelectMany(p => p), answer.SelectMany(p => p)));
    }

    /// <summary>
    /// Knots of real sawn faces (fixtures/surfaces, split test; Kodytek, Bodzas, Bilik 2021, doi 10.5281/zenodo.4694695) in twelve of its pictures. At least 95 % must be found.
    /// </summary>
    [Fact]
    public void RealFaces_NotTaughtOn_KnotsAreFoundAndNeverAccepted()
    {
        RuleBookSet.Embedded.TryGet("spar", out var book);
        var (knots, found) = (0, 0);
        foreach (var picture in TestPictures().Where((_, i) => i % 4 == 0))
        {
            var wood = picture.Wood;
            var m = Measure("surfaces/" + picture.File, [new(wood[0], wood[1]), new(wood[2] - 1, wood[1]), new(wood[2] - 1, wood[3]), new(wood[0], wood[3])], 6, book);
            foreach (var knot in picture.Marks.Where(k => k is { Kind: "knot", Sure: true }))
            {
                knots++;
                found += m.Blemishes.Any(b => Touch(b.Outline, knot.Box)) ? 1 : 0;
            }

            if (m.Blemishes.Count > 0)
                Assert.NotEqual(VerdictOutcome.Accept, m.Verdict!.Outcome);
        }

        Assert.True(knots >= 15, $"{knots} knots; too few to say anything");
        Assert.True(found >= 0.95 * knots, $"{found} of {knots} knots found");
    }

    /// <summary>
    /// The crack of R. B. Hough's birch section (fixtures/registry.json): by eye it runs from (0, 106) over (265, 80) to (515, 60), with a branch from (0, 131) to (100, 124).
    /// </summary>
    [Fact]
    public void RealCrack_AlongTheGrain_IsReportedAsACrackAndNeverAccepted()
    {
        RuleBookSet.Embedded.TryGet("spar", out var book);
        var m = Measure("photos/face-american-birch-flat-sawn.jpg", [new(6, 32), new(534, 32), new(534, 508), new(6, 508)], 8, book);
        Assert.Contains(m.Blemishes, b => b.Kind is BlemishKind.Check or BlemishKind.ShakeOrSplit
            && b.Outline.All(p => p.Y is > 50 and < 140) && b.Outline.Max(p => p.X) - b.Outline.Min(p => p.X) > 80);
        Assert.NotEqual(VerdictOutcome.Accept, m.Verdict!.Outcome);
        Assert.Equal(SurfaceAnswer.Ask, m.Surface!.Answer);
    }

    /// <summary>Hough's sections that are clear to the eye (fixtures/registry.json): real wood of twenty species; every second one was never taught on.</summary>
    [Fact]
    public void ClearSections_AtMostOneFalseKnotInTenAndMostWithoutAMark()
    {
        string[] notClear = ["face-american-birch-flat-sawn.jpg", "face-tanoak-flat-sawn.jpg"];
        var files = Directory.EnumerateFiles(Fixtures.PathOf("photos"), "face-*.jpg").Order(StringComparer.Ordinal).Where((_, i) => i % 2 == 1).Select(Path.GetFileName)
            .Where(f => !notClear.Contains(f)).ToList();
        var marks = files.SelectMany(f =>
        {
            var margin = f == "face-american-basswood-flat-sawn.jpg" ? 0.15 : f == "face-sourwood-flat-sawn.jpg" ? 0.11 : 0.06;
            using var photo = PhotoIntake.Decode(File.ReadAllBytes(Path.Combine(Fixtures.PathOf("photos"), f!)), IntakeLimits.Default, CancellationToken.None).Found!;
            PointPx[] corners = [new(6, margin * photo.Height), new(photo.Width - 7, margin * photo.Height), new(photo.Width - 7, photo.Height * 0.94), new(6, photo.Height * 0.94)];
            return Measure("photos/" + f, corners, 8, null).Blemishes.Select(b => (File: f, b.Kind));
        }).ToList();
        var told = string.Join(", ", marks);
        Assert.True(marks.Count(m => BlemishKinds.IsKnot(m.Kind)) <= 1, told);
        // 4 of 9: what the network of 28 November reaches; the target is 85 % without a mark.
        Assert.True(marks.Select(m => m.File).Distinct().Count() <= 4, told);
    }

    [Theory]
    [InlineData(150_001, BlemishKind.Knot)]
    [InlineData(150_004, BlemishKind.Knot)]
    [InlineData(150_010, BlemishKind.SpikeKnot)]
    [InlineData(150_016, BlemishKind.BoreHole)]
    [InlineData(150_040, BlemishKind.Check)]
    public void DrawnFace_BlemishThatTheEyeSees_IsAskedAbout(int seed, BlemishKind kind)
    {
        var made = Synthesiser.Make(new SceneRequest { Seed = seed, View = View.Face, Difficulty = Difficulty.Easy, Megapixels = 1, Blemishes = [kind] });
        var outcome = MeasureJob.Run(made.ToPng(), new MeasuringRequest { View = View.Face, Outline = made.Truth.Outline, Scale = new PitchScale(made.Truth.Scale.PixelsPerMm) }, null, IntakeLimits.Default, CancellationToken.None);
        var m = outcome.Found!;
        Assert.All(made.Truth.Blemishes.Where(b => b.DiameterMm * made.Truth.Scale.PixelsPerMm >= 3 && b.Contrast >= 0.2), t =>
            Assert.Contains(m.Blemishes, b => Touch(b.Outline, [t.Outline.Min(p => p.X), t.Outline.Min(p => p.Y), t.Outline.Max(p => p.X), t.Outline.Max(p => p.Y)])));
        // Further pieces of a crack that is asked about need half of the threshold.
        Assert.All(m.Blemishes, b => Assert.InRange(
            b.BlemishProbability!.Value, Math.Max(b.Probability, m.Surface!.AskFrom * (b.Kind is BlemishKind.Check or BlemishKind.ShakeOrSplit ? 0.5 : 1)) - 0.001, 1));
        Assert.Contains(m.Blemishes, b => b.BlemishProbability >= m.Surface!.AskFrom - 0.001);
        // A name from a photo alone never makes an allowed kind sure.
        Assert.All(m.Blemishes.Where(b => b.Kind is BlemishKind.Knot or BlemishKind.PitchPocket or BlemishKind.PinKnotCluster), b => Assert.True(b.Probability < 0.95));
        Assert.All(m.DismissedMarks, b => Assert.True(b.HarmlessKind is not null && b.BlemishProbability < m.Surface!.AskFrom + 0.001));
        Assert.Equal(m.Blemishes.Count == 0 ? SurfaceAnswer.Clear : SurfaceAnswer.Ask, m.Surface!.Answer);
    }

    /// <summary>
    /// Pitch pockets are what the network of 28 November sees worst of all drawn blemishes: 32 of 46 asked about (models/surface/1/decision.md), the target is 98 %. This holds what is reached.
    /// </summary>
    [Fact]
    public void DrawnFaces_PitchPocketsThatTheEyeSees_MostAreAskedAbout()
    {
        var (found, all) = (0, 0);
        foreach (var seed in Enumerable.Range(150_030, 10))
        {
            var made = Synthesiser.Make(new SceneRequest { Seed = seed, View = View.Face, Difficulty = Difficulty.Easy, Megapixels = 1, Blemishes = [BlemishKind.PitchPocket] });
            var outcome = MeasureJob.Run(made.ToPng(), new MeasuringRequest { View = View.Face, Outline = made.Truth.Outline, Scale = new PitchScale(made.Truth.Scale.PixelsPerMm) }, null, IntakeLimits.Default, CancellationToken.None);
            foreach (var t in made.Truth.Blemishes.Where(t => t.Kind == BlemishKind.PitchPocket && t.DiameterMm * made.Truth.Scale.PixelsPerMm >= 3))
            {
                all++;
                found += outcome.Found!.Blemishes.Any(b => Touch(b.Outline, [t.Outline.Min(p => p.X), t.Outline.Min(p => p.Y), t.Outline.Max(p => p.X), t.Outline.Max(p => p.Y)])) ? 1 : 0;
            }
        }

        Assert.True(all >= 8 && found >= 0.7 * all, $"{found} of {all} pitch pockets asked about");
    }

    private static Measurement Measure(string file, IReadOnlyList<PointPx> corners, double pixelsPerMm, RuleBook? book)
    {
        var outcome = MeasureJob.Run(
            File.ReadAllBytes(Fixtures.PathOf(file)), new MeasuringRequest { View = View.Face, Outline = corners, Scale = new PitchScale(pixelsPerMm) }, book, IntakeLimits.Default, CancellationToken.None);
        Assert.True(outcome.Found is not null, outcome.Refusal?.Message);
        return outcome.Found;
    }

    /// <summary>True where the outline's box and the other box meet.</summary>
    private static bool Touch(IReadOnlyList<PointPx> a, IReadOnlyList<double> box) =>
        a.Min(p => p.X) <= box[2] + 2 && a.Max(p => p.X) >= box[0] - 2 && a.Min(p => p.Y) <= box[3] + 2 && a.Max(p => p.Y) >= box[1] - 2;

    private static List<Picture> TestPictures() =>
        [.. JsonSerializer.Deserialize<Labels>(File.ReadAllText(Fixtures.PathOf("surfaces/labels.json")), ContractJson.Options)!.Pictures.Where(p => p.Split == "test")];

    private sealed record Labels(IReadOnlyList<Picture> Pictures);

    private sealed record Picture(string File, string Split, IReadOnlyList<double> Wood, IReadOnlyList<Mark> Marks);

    private sealed record Mark(string Kind, IReadOnlyList<double> Box, bool Sure = true);
}
