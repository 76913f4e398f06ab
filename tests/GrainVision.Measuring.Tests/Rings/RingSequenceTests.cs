using GrainVision.Measuring.Rings;

namespace GrainVision.Measuring.Tests.Rings;

/// <summary>Ring widths change slowly: 22,695 pairs of measured series (fixtures/ring-widths), half of all neighbours within 21 % of each other.</summary>
public sealed class RingSequenceTests
{
    private static readonly double[] Even = [.. Enumerable.Range(0, 20).Select(i => 20.0 * i)];

    [Fact]
    public void Choose_DoubtfulCandidateInADoubleGap_IsTaken()
    {
        double[] odds = [.. Even.Select(x => x == 200 ? -0.5 : 6)];

        Assert.Equal(Enumerable.Range(0, 20), RingSequence.Choose(Even, odds, 2));
    }

    [Fact]
    public void Choose_DoubtfulCandidateThatHalvesARing_IsLeft()
    {
        double[] at = [.. Even.Append(210).Order()];
        double[] odds = [.. at.Select(x => x == 210 ? 0.5 : 6)];

        Assert.DoesNotContain(210, RingSequence.Choose(at, odds, 2).Select(i => at[i]));
    }

    /// <summary>Drought years: three rings a quarter as wide, each clearly seen.</summary>
    [Fact]
    public void Choose_ClearNarrowRingsBesideWideOnes_Stay()
    {
        double[] at = [.. Even.Concat([205, 210, 215]).Order()];

        Assert.Equal(at.Length, RingSequence.Choose(at, [.. at.Select(_ => 6.0)], 2).Length);
    }

    [Fact]
    public void Given_DoubleGap_RaisesTheChanceOfItsMiddle()
    {
        int[] without = [.. Enumerable.Range(0, 20).Where(i => i != 10)];

        Assert.True(RingSequence.Given(Even, new double[20], without)[10] > 1);
    }
}
