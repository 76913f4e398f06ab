using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Measuring.Surface;
using GrainVision.Measuring.Intake;
using GrainVision.Synthesis;

namespace GrainVision.Measuring.Tests.Blemishes;

/// <summary>The shipped blemish model on pictures that it was not trained on: figures of models/blemishes/3/card.md, through the whole pipeline.</summary>
public sealed class BlemishModelTests
{
    /// <summary>
    /// Annotated knots of fixtures/blemishes (Kodytek, Bodzas, Bilik 2021, doi 10.5281/zenodo.4694695) in the tiles of its test split. At least
    /// 95 % must be found.
    /// </summary>
    private const int RealKnots = 20;
    private const int RealKnotsReached = 19;

    [Fact]
    public void Embedded_Model_IsTheOneThatItsHashNames() =>
        Assert.Equal(BlemishFeatures.Names, BlemishClassifier.Embedded.Calibration.Features);

    [Fact]
    public void Classify_FromManyThreads_SameAnswers()
    {
        var rows = Enumerable.Range(0, 8).Select(i => BlemishFeatures.Names.Select((_, k) => (float)Math.Sin((i * 31) + k)).ToArray()).ToList();
        var once = BlemishClassifier.Embedded.Classify(rows);
        var many = Enumerable.Range(0, 8).AsParallel().Select(_ => BlemishClassifier.Embedded.Classify(rows)).ToList();
        Assert.All(once, p => Assert.Equal(1, p.Sum(), 9));
        Assert.All(many, answer => Assert.Equal(once.SelectMany(p => p), answer.SelectMany(p => p)));
    }

    [Fact]
    public void RealTiles_NotTrainedOn_KnotsAreFoundAndNeverAccepted()
    {
        RuleBookSet.Embedded.TryGet("spar", out var book);
        var (knots, found) = (0, 0);
        foreach (var tile in Tiles().Where(t => t.Split == "test"))
        {
            var m = Measure("blemishes/" + tile.File, tile.Corners, tile.PixelsPerMm, book);
            foreach (var o in tile.Objects.Where(o => o.Class.Contains("knot", StringComparison.Ordinal)))
            {
                knots++;
                if (m.Blemishes.Any(b => Touch(b.Outline, o.Outline)))
                    found++;
            }

            if (m.Blemishes.Count > 0)
                Assert.NotEqual(VerdictOutcome.Accept, m.Verdict!.Outcome);
        }

        Assert.Equal(RealKnots, knots);
        Assert.True(found >= RealKnotsReached, $"{found} of {knots} annotated knots found");
    }

    [Fact]
    public void ClearSections_NotTrainedOn_AtMostOneFalseKnotInTen()
    {
        // Hough's sections, clear to the eye (fixtures/registry.json); every second one was trained on, as the trainer orders them.
        string[] notClear = ["face-american-birch-flat-sawn.jpg", "face-tanoak-flat-sawn.jpg"];
        var files = Directory.EnumerateFiles(Fixture("photos"), "face-*.jpg").Order(StringComparer.Ordinal).Select(Path.GetFileName)
            .Where(f => !notClear.Contains(f)).Where((_, i) => i % 2 == 1).ToList();
        var knots = files.Sum(f =>
        {
            var margin = f == "face-american-basswood-flat-sawn.jpg" ? 0.15 : f == "face-sourwood-flat-sawn.jpg" ? 0.11 : 0.06;
            using var photo = PhotoIntake.Decode(File.ReadAllBytes(Path.Combine(Fixture("photos"), f!)), IntakeLimits.Default, CancellationToken.None).Found!;
            PointPx[] corners = [new(6, margin * photo.Height), new(photo.Width - 7, margin * photo.Height), new(photo.Width - 7, photo.Height * 0.94), new(6, photo.Height * 0.94)];
            return Measure("photos/" + f, corners, 8, null).Blemishes.Count(b => b.Kind is BlemishKind.Knot or BlemishKind.LooseKnot or BlemishKind.SpikeKnot or BlemishKind.PinKnotCluster);
        });
        Assert.Equal(10, files.Count);
        Assert.InRange(knots, 0, 1);
    }

    /// <summary>
    /// The crack of R. B. Hough's birch section, which model 2 missed: by eye it runs from (0, 106) over (265, 80) to (515, 60), with a branch from (0, 131) to (100, 124).
    /// No picture of it was trained on.
    /// </summary>
    [Fact]
    public void RealCrack_AlongTheGrain_IsReportedAsACrackAndNeverAccepted()
    {
        RuleBookSet.Embedded.TryGet("spar", out var book);
        var m = Measure("photos/face-american-birch-flat-sawn.jpg", [new(6, 32), new(534, 32), new(534, 508), new(6, 508)], 8, book);

        Assert.Contains(m.Blemishes, b => b.Kind is BlemishKind.Check or BlemishKind.ShakeOrSplit
            && b.Outline.All(p => p.Y is > 50 and < 140 && p.X < 535) && b.Outline.Max(p => p.X) - b.Outline.Min(p => p.X) > 80);
        Assert.NotEqual(VerdictOutcome.Accept, m.Verdict!.Outcome);
    }

    [Theory]
    [InlineData(150_001)]
    [InlineData(150_004)]
    [InlineData(150_010)]
    [InlineData(150_016)]
    public void SyntheticFace_KnotOfThreeMmAtEightPx_IsReported(int seed)
    {
        var made = Synthesiser.Make(new SceneRequest { Seed = seed, View = View.Face, Difficulty = Difficulty.Medium, Megapixels = 1, Blemishes = [BlemishKind.Knot] });
        var outcome = MeasureJob.Run(made.ToPng(), new MeasuringRequest { View = View.Face, Outline = made.Truth.Outline, Scale = new PitchScale(made.Truth.Scale.PixelsPerMm) }, null, IntakeLimits.Default, CancellationToken.None);
        var knots = made.Truth.Blemishes.Where(b => b.DiameterMm >= 3 && b.DiameterMm * made.Truth.Scale.PixelsPerMm >= 8);
        Assert.All(knots, k => Assert.Contains(outcome.Found!.Measurement.Blemishes, b => Touch(b.Outline, k.Outline)));
        Assert.All(outcome.Found!.Measurement.Blemishes, b => Assert.InRange(b.BlemishProbability!.Value, b.Probability - 0.001, 1));
        Assert.All(outcome.Found!.Measurement.Blemishes.Where(b => b.Kind is BlemishKind.Knot or BlemishKind.PitchPocket or BlemishKind.PinKnotCluster), b => Assert.True(b.Probability < 0.95));
        Assert.All(outcome.Found!.Measurement.DismissedMarks, b => Assert.True(b.BlemishProbability < BlemishClassifier.Embedded.Calibration.ReportFrom[BlemishClasses.IndexOf(b.Kind)] + 0.001));
    }

    private static Measurement Measure(string file, IReadOnlyList<PointPx> corners, double pixelsPerMm, RuleBook? book)
    {
        var outcome = MeasureJob.Run(
            File.ReadAllBytes(Fixture(file)), new MeasuringRequest { View = View.Face, Outline = corners, Scale = new PitchScale(pixelsPerMm) }, book, IntakeLimits.Default, CancellationToken.None);
        Assert.True(outcome.Found is not null, outcome.Refusal?.Message);
        return outcome.Found.Measurement;
    }

    /// <summary>True where the middle of either lies in the other's box, give or take 2 px.</summary>
    private static bool Touch(IReadOnlyList<PointPx> a, IReadOnlyList<PointPx> b) => Holds(a, b) || Holds(b, a);

    private static bool Holds(IReadOnlyList<PointPx> box, IReadOnlyList<PointPx> other)
    {
        var (x, y) = ((other.Min(p => p.X) + other.Max(p => p.X)) / 2, (other.Min(p => p.Y) + other.Max(p => p.Y)) / 2);
        return x >= box.Min(p => p.X) - 2 && x <= box.Max(p => p.X) + 2 && y >= box.Min(p => p.Y) - 2 && y <= box.Max(p => p.Y) + 2;
    }

    private static List<Tile> Tiles() => JsonSerializer.Deserialize<List<Tile>>(File.ReadAllText(Fixture("blemishes/tiles.json")), ContractJson.Options)!;

    private static string Fixture(string file)
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "GrainVision.sln")))
            folder = folder.Parent ?? throw new InvalidOperationException("GrainVision.sln not found above the tests.");
        return Path.Combine(folder.FullName, "fixtures", file);
    }

    private sealed record Tile(string File, string Split, double PixelsPerMm, IReadOnlyList<PointPx> Corners, IReadOnlyList<TileObject> Objects);

    private sealed record TileObject(string Class, IReadOnlyList<PointPx> Outline);
}
