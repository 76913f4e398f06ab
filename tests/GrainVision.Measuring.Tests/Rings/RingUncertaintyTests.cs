using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Rings;

namespace GrainVision.Measuring.Tests.Rings;

/// <summary>What must widen an interval, and to which side: arithmetic of counts (one ring more among n is 1/n).</summary>
public sealed class RingUncertaintyTests
{
    private static readonly Measured Scale = Measured.FromStandardUncertainty(10, 0.005);

    [Fact]
    public void WholePath_ClearRings_WithinTwoPercent()
    {
        var interval = Interval([], 0);

        Assert.InRange(interval.High - interval.Low, 0, 0.04 * interval.Value);
    }

    [Fact]
    public void WholePath_LikelyRingNotTaken_ReachesUpByItsChance()
    {
        var (clear, doubt) = (Interval([], 0), Interval([new RingCandidate(21, 0.4, 0, 3)], 0));

        Assert.Equal(clear.Low, doubt.Low, 1e-9);
        Assert.True(doubt.High >= clear.Value * (1 + (0.4 / 20)));
    }

    /// <summary>Five of the twenty rings lie under something that cannot be read.</summary>
    [Fact]
    public void WholePath_UnreadableStretch_WidensBothWays()
    {
        var (clear, doubt) = (Interval([], 0), Interval([], 1));

        Assert.True(doubt.Low < clear.Low * 0.95 && doubt.High > clear.High * 1.05);
    }

    /// <summary>A stamp hides four of the twenty rings: whoever reads the answer must know that there may be 20.</summary>
    [Fact]
    public void WholePath_RingsHiddenUnderAStamp_StayInTheInterval()
    {
        RingCandidate[] rings = [.. Enumerable.Range(0, 21).Where(i => i is < 8 or > 11).Select(i => new RingCandidate(2 + (2 * i), 0.999, 0, 3))];
        double[] columns = [.. Enumerable.Range(0, 440).Select(x => x is >= 165 and < 255 ? 1.0 : 0)];

        var interval = RingUncertainty.Compute(new RingsOnPath(rings, rings, 1, 43, columns, 0.1, 10), Scale).WholePath(RingArithmetic.PerInch([.. rings.Select(r => r.At)]));

        Assert.True(interval.High > 20 * Units.MmPerInch / 40);
    }

    private static Measured Interval(RingCandidate[] others, double unreadable)
    {
        RingCandidate[] rings = [.. Enumerable.Range(0, 21).Select(i => new RingCandidate(2 + (2 * i), 0.999, 0, 3))];
        double[] columns = [.. Enumerable.Range(0, 440).Select(x => x is >= 100 and < 200 ? unreadable : 0)];
        var onPath = new RingsOnPath(rings, [.. rings.Concat(others).OrderBy(c => c.At)], 1, 43, columns, 0.1, 10);
        return RingUncertainty.Compute(onPath, Scale).WholePath(RingArithmetic.PerInch([.. rings.Select(r => r.At)]));
    }
}
