using GrainVision.Grading.Quantities;

namespace GrainVision.Accuracy.Tests;

/// <summary>The rule of split conformal prediction, against errors of a known distribution: J. Lei et al., JASA 113, 2018, theorem 2.2.</summary>
public class ConformalTests
{
    [Theory]
    [InlineData(10, 12, 14, 0.5)]
    [InlineData(10, 9, 14, 0.5)]
    [InlineData(10, 10, 14, 0)]
    [InlineData(10, 8, 14, 1)]
    public void Score_IsTheErrorOverTheHalfOnItsSide(double value, double truth, double high, double score) =>
        Assert.Equal(score, Conformal.Score(truth, new Measured(value, 8, high)));

    [Fact]
    public void Score_BeyondAnIntervalWithoutWidth_IsInfinite() => Assert.Equal(double.PositiveInfinity, Conformal.Score(2, Measured.Exact(1)));

    [Theory]
    [InlineData(19, 0.95, 19)]
    [InlineData(99, 0.95, 95)]
    [InlineData(5, 0.95, 5)]
    public void Factor_IsTheScoreOfThePublishedRank(int count, double level, double expected) =>
        Assert.Equal(expected, Conformal.Factor([.. Enumerable.Range(1, count).Select(i => (double)i)], level));

    [Fact]
    public void Factor_FittedToNormalErrorsOfAHalfTooNarrowModel_HoldsOnFreshOnes()
    {
        var random = new Random(7);
        double Error() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        Measured Told() => Measured.FromStandardUncertainty(0, 0.5);
        var factor = Conformal.Factor([.. Enumerable.Range(0, 2000).Select(_ => Conformal.Score(Error(), Told()))], 0.95);
        Assert.InRange(factor, 1.85, 2.15); // the true deviation over the told one
        Assert.InRange(Enumerable.Range(0, 20_000).Count(_ => Conformal.Score(Error(), Told()) <= factor) / 20_000.0, 0.935, 0.965);
    }
}
