using GrainVision.DecisionFit;

namespace GrainVision.Measuring.Tests.Surfaces;

/// <summary>The choice of the threshold from which on marks are asked about ("Learn then Test", arXiv:2110.01052).</summary>
public sealed class RiskControlTests
{
    /// <summary>0 of 299 is the least that shows at most 1 % at 95 % confidence: 0.99^299 = 0.0495, 0.99^298 = 0.0500 (the "rule of three", 3/n, J. A. Hanley 1983).</summary>
    [Theory]
    [InlineData(0, 299, 0.0495)]
    [InlineData(1, 473, 0.0498)]
    [InlineData(0, 1, 0.99)]
    public void BinomialTail_KnownCounts(int misses, int of, double tail) => Assert.Equal(tail, RiskControl.BinomialTail(misses, of, 0.01), 0.0005);

    [Fact]
    public void Choose_AllFoundSurely_AsksFromTheHighestThreshold()
    {
        var chosen = RiskControl.Choose([.. Enumerable.Repeat(0.99, 300)], 0.01, 0.05);
        Assert.True(chosen.AskFrom > 0.8);
        Assert.Equal((0.01, 0), (chosen.Alpha, chosen.Missed));
    }

    [Fact]
    public void Choose_TooFewOrTooManyMissed_SaysWhatHoldsInstead()
    {
        Assert.Equal(0.0100, RiskControl.Choose([.. Enumerable.Repeat(0.99, 299)], 0.01, 0.05).Alpha);
        var few = RiskControl.Choose([.. Enumerable.Repeat(0.99, 100)], 0.01, 0.05);
        // 1 - 0.05^(1/100) = 2.95 % (Clopper and Pearson 1934 with no misses).
        Assert.Equal(0.0296, few.Alpha, 0.0001);
        Assert.True(few.AskFrom < 0.01);
        var missed = RiskControl.Choose([.. Enumerable.Repeat(0.99, 950), .. Enumerable.Repeat(0.0, 50)], 0.01, 0.05);
        Assert.InRange(missed.Alpha, 0.05, 0.07);
        Assert.Equal(50, missed.Missed);
    }

    /// <summary>The guarantee itself: over many draws of surfaces the risk of what is chosen is above the limit at most as often as it says.</summary>
    [Fact]
    public void Choose_OverManyDraws_RiskIsWithinItsLimitAsOftenAsPromised()
    {
        var random = new Random(1);
        var broken = 0;
        const int draws = 400;
        for (var d = 0; d < draws; d++)
        {
            // Scores evenly spread over 0 to 1: the risk of a threshold is the threshold itself.
            var chosen = RiskControl.Choose([.. Enumerable.Range(0, 400).Select(_ => random.NextDouble())], 0.1, 0.05);
            broken += chosen.AskFrom > 0.1 ? 1 : 0;
        }

        // 5 % of 400 is 20; 33 is its 99.7 % point (binomial).
        Assert.InRange(broken, 0, 33);
    }

    /// <summary>None of 500 missed holds the strictest level at 1 %: 0.99^459 = 0.0099.</summary>
    [Fact]
    public void ChooseEach_StricterLevelsAskSooner_AndEachHoldsAtAShareOfDelta()
    {
        Assert.Equal([0.01, 0.02, 0.03, 0.04, 0.05], RiskControl.ChooseEach([.. Enumerable.Repeat(0.99, 500)], 0.05).Select(c => c.Alpha));
        var random = new Random(7);
        var each = RiskControl.ChooseEach([.. Enumerable.Range(0, 2000).Select(_ => Math.Sqrt(random.NextDouble()))], 0.05);
        Assert.Equal(5, each.Count);
        Assert.True(each.Zip(each.Skip(1)).All(p => p.First.AskFrom < p.Second.AskFrom && p.First.Missed < p.Second.Missed));
        Assert.All(each, c => Assert.True(RiskControl.BinomialTail(c.Missed, 2000, c.Alpha) <= 0.05 / 5));
    }

    [Fact]
    public void ChooseEach_NoLevelHolds_SaysWhatHoldsInstead() =>
        Assert.InRange(Assert.Single(RiskControl.ChooseEach([.. Enumerable.Repeat(0.99, 900), .. Enumerable.Repeat(0.0, 100)], 0.05)).Alpha, 0.1, 0.14);
}
