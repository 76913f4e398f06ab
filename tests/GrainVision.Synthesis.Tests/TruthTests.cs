using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Scale;

namespace GrainVision.Synthesis.Tests;

/// <summary>The truth beside a photo says everything that a measurement reports, so that whatever is reported can be checked.</summary>
public class TruthTests
{
    /// <summary>
    /// What a measurement says of itself and not of the wood: how sure it is, what it rests on, how it is drawn. A harmless kind is that of a dismissed mark;
    /// the truth tells harmless things apart from blemishes (<see cref="NonBlemishTruth"/>).
    /// </summary>
    private static readonly string[] OfTheAnswer = ["HarmlessKind", "Probability", "Kinds", "Number", "BlemishProbability", "Basis", "ByHand", "CutConvention"];

    /// <summary>Said under another name: window slopes are those along the face, and the truth's path always starts on the pith's side.</summary>
    private static readonly Dictionary<string, string> Renamed = new() { ["Along"] = "WindowSlopes", ["FromPithSide"] = "Path" };

    [Theory]
    [InlineData(typeof(RingFinding), typeof(RingTruth))]
    [InlineData(typeof(RingAngleFinding), typeof(RingAngleTruth))]
    [InlineData(typeof(GrainFinding), typeof(GrainTruth))]
    [InlineData(typeof(BlemishFinding), typeof(BlemishTruth))]
    public void Truth_OfAFinding_HasEveryMemberOfTheContract(Type finding, Type truth)
    {
        var told = truth.GetProperties().Select(p => p.Name).ToHashSet();
        var lacking = finding.GetProperties().Select(p => p.Name).Where(n => !OfTheAnswer.Contains(n) && !told.Contains(Renamed.GetValueOrDefault(n, n)));
        Assert.Empty(lacking);
    }

    [Fact]
    public void WorstInchPath_ManyEnds_IsAnInchOfThePath()
    {
        var seen = 0;
        for (var seed = 70901; seed < 70920; seed += 2)
        {
            var truth = GroundTruth.Tell(SceneBuilder.Build(new SceneRequest { Seed = seed, View = View.End }));
            var rings = truth.Rings!;
            if (rings.Boundaries.Count < 2)
                continue;
            var mm = Mm(truth);
            double Length(IReadOnlyList<PointPx> line) => line.Zip(line.Skip(1), (a, b) => mm(a).DistanceTo(mm(b))).Sum();
            var whole = rings.WidthsMm.Sum();
            Assert.InRange(Length(rings.WorstInchPath), Math.Min(whole, 25.4) - 1.2, Math.Min(whole, 25.4) + 1.2);
            seen++;
        }

        Assert.True(seen >= 8);
    }

    [Fact]
    public void OuterEighthsAndEdgeSlope_OfPlainFace_AreItsSlope()
    {
        // Without spiral, wobble and knots all fibres are parallel.
        var truth = GroundTruth.Tell(SceneBuilder.Build(new SceneRequest { Seed = 70902, View = View.Face, Plain = true, SpiralDeg = 0, TaperMmPerM = 0, Slope = 0.06, Blemishes = [BlemishKind.BoreHole] }));
        Assert.InRange(truth.Grain!.OuterEighths!.Value, 0.059, 0.061);
        Assert.NotNull(truth.Grain.WorstWindowCentre);
        var hole = Assert.Single(truth.Blemishes);
        Assert.InRange(hole.EdgeSlope!.Value, 0.059, 0.061);
    }

    [Fact]
    public void Harmless_ManySeeds_LiesOnTheSurface()
    {
        var kinds = new HashSet<string>();
        for (var seed = 70900; seed < 70960; seed++)
        {
            var truth = GroundTruth.Tell(SceneBuilder.Build(new SceneRequest { Seed = seed, View = seed % 2 == 1 ? View.End : View.Face, Difficulty = (Difficulty)(seed / 2 % 3) }));
            var mm = Mm(truth);
            foreach (var thing in truth.NonBlemishes.Where(n => n.Outline.Count > 0))
            {
                kinds.Add(thing.Kind);
                Assert.All(thing.Outline, p => Assert.True(
                    Math.Abs(mm(p).X) <= (truth.SizeMm.First / 2) + 2.5 && Math.Abs(mm(p).Y) <= (truth.SizeMm.Second / 2) + 2.5, $"seed {seed} {thing.Kind}"));
            }
        }

        Assert.Superset(new HashSet<string> { "dirt", "saw-marks", "bright-sapwood", "indented-rings" }, kinds);
    }

    /// <summary>Surface mm of a px; the lens is left out, which is worth a millimetre or two at the rim.</summary>
    private static Func<PointPx, PointPx> Mm(PhotoTruth truth)
    {
        var h = new PhotoScale(new ScaleFinding(ScaleKind.Pitch, Measured.Exact(1)), Inverse(truth.Scale.PxFromMm), []);
        return p => h.ToMm(p) is var q ? new PointPx(q.X, q.Y) : default;
    }

    private static double[] Inverse(IReadOnlyList<double> m)
    {
        double C(int a, int b, int c, int d) => (m[a] * m[d]) - (m[b] * m[c]);
        return [C(4, 5, 7, 8), C(2, 1, 8, 7), C(1, 2, 4, 5), C(5, 3, 8, 6), C(0, 2, 6, 8), C(2, 0, 5, 3), C(3, 4, 6, 7), C(1, 0, 7, 6), C(0, 1, 3, 4)];
    }
}
