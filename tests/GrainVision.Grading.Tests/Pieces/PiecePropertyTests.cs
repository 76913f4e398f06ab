using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using static GrainVision.Grading.Tests.Pieces.PieceSamples;

namespace GrainVision.Grading.Tests.Pieces;

public class PiecePropertyTests
{
    private const int Runs = 150;

    [Fact]
    public void MoreUncertainty_NeverMakesAnAccept()
    {
        var random = new Random(31);
        for (var i = 0; i < Runs; i++)
        {
            var photos = Random(random, out _);
            if (photos.Judged().Outcome == VerdictOutcome.Accept)
                continue;
            PlacedMeasurement[] wider = [.. photos.Select(p => p with
            {
                Measurement = p.Measurement with { Blemishes = [.. p.Measurement.Blemishes.Select(b => b with { SizeMm = Wider(b.SizeMm), DiameterMm = Wider(b.DiameterMm) })] },
                Place = p.Place with { StationUncertaintyMm = p.Place.StationUncertaintyMm + 10 },
            })];
            Assert.NotEqual(VerdictOutcome.Accept, ((IReadOnlyList<PlacedMeasurement>)wider).Judged().Outcome);
        }
    }

    /// <summary>Except the mate of a knot on the opposite face, whose average may turn a reject into a hold (ANC-19 2.301): so only one face gets more.</summary>
    [Fact]
    public void OneBlemishMore_NeverImprovesTheVerdict()
    {
        var random = new Random(32);
        for (var i = 0; i < Runs; i++)
        {
            var photos = Random(random, out var marks);
            List<(Surface, BlemishFinding)> one = [.. marks.Where(m => m.Surface == Surface.Face1)];
            var before = Photos(one).Judged().Outcome;
            Assert.True(Photos([.. one, (Surface.Face1, Mark(random))]).Judged().Outcome >= before);
            Assert.False(photos.Judged().Outcome == VerdictOutcome.Accept && before != VerdictOutcome.Accept);
        }
    }

    [Fact]
    public void EndForEnd_GivesTheSameVerdict()
    {
        var random = new Random(33);
        var outcomes = new HashSet<VerdictOutcome>();
        for (var i = 0; i < Runs; i++)
        {
            _ = Random(random, out var marks);
            var there = Photos(marks).Judged().Outcome;
            Assert.Equal(there, Photos([.. marks.Select(m => (m.Surface, m.Blemish with { AlongMm = LengthMm - m.Blemish.AlongMm }))]).Judged().Outcome);
            outcomes.Add(there);
        }

        Assert.Equal(3, outcomes.Count); // else it proves nothing
    }

    private static IReadOnlyList<PlacedMeasurement> Random(Random random, out IReadOnlyList<(Surface Surface, BlemishFinding Blemish)> marks)
    {
        marks = [.. Enumerable.Range(0, random.Next(4)).Select(_ => (random.Next(2) == 0 ? Surface.Face1 : Surface.Face3, Mark(random)))];
        return Photos(marks);
    }

    private static BlemishFinding Mark(Random random) => Knot(2 + (9 * random.NextDouble()), LengthMm * random.NextDouble(), random.NextDouble() * 0.5, random.Next(4) == 0 ? 0.7 : 1);

    private static Measured Wider(Measured m) => m with { Low = m.Low - 0.5, High = m.High + 0.5 };
}
