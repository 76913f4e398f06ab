using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Verdicts;

public class GuardedAcceptanceTests
{
    [Theory]
    [InlineData(7.4, 7.1, 7.8, 6, Accept)]
    [InlineData(6.5, 6, 7, 6, Accept)] // an interval that ends on the limit is on the good side
    [InlineData(6.3, 5.99, 6.7, 6, Hold)]
    [InlineData(5.8, 5.2, 6, 6, Hold)]
    [InlineData(5.4, 5, 5.9, 6, Reject)]
    public void AtLeast_WholeInterval_Decides(double value, double low, double high, double limit, VerdictOutcome expected)
    {
        Assert.Equal(expected, GuardedAcceptance.AtLeast(new Measured(value, low, high), limit));
        Assert.Equal(expected, GuardedAcceptance.AtMost(new Measured(-value, -high, -low), -limit));
    }

    [Fact]
    public void AtMost_ThreeEighthsOfAnInchInMm_IsOnTheGoodSide() => // 3/8 x 25.4 is not exact in binary
        Assert.Equal(Accept, GuardedAcceptance.AtMost(Measured.Exact(9.525), 0.375 * Units.MmPerInch));

    [Theory]
    [InlineData(double.NaN, 1, 2, 0.95)]
    [InlineData(8, double.NaN, 9, 0.95)]
    [InlineData(8, 7, double.NaN, 0.95)]
    [InlineData(8, 7, double.PositiveInfinity, 0.95)]
    [InlineData(8, 9, 10, 0.95)] // the value lies outside its own interval
    [InlineData(8, 9, 7, 0.95)] // ends swapped
    [InlineData(8, 7, 9, 0.5)] // too little coverage
    [InlineData(8, 7, 9, 0)]
    [InlineData(8, 7, 9, 95)] // per cent by mistake
    [InlineData(8, 7, 9, double.NaN)]
    public void AnyRule_UnusableInterval_Holds(double value, double low, double high, double level)
    {
        var m = new Measured(value, low, high, level);
        Assert.Equal(Hold, GuardedAcceptance.AtLeast(m, 6));
        Assert.Equal(Hold, GuardedAcceptance.AtLeast(m, 100));
        Assert.Equal(Hold, GuardedAcceptance.AtMost(m, 100));
        Assert.Equal(Hold, GuardedAcceptance.Within(m, 6, 100));
    }

    [Fact]
    public void AnyRule_DefaultMeasured_Holds() => Assert.Equal(Hold, GuardedAcceptance.AtMost(default, 1));

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    public void AnyRule_NoLimit_Holds(double limit)
    {
        Assert.Equal(Hold, GuardedAcceptance.AtLeast(Measured.Exact(1), limit));
        Assert.Equal(Hold, GuardedAcceptance.AtMost(Measured.Exact(1), limit));
    }

    [Fact]
    public void Gravest_OfNothing_Holds() => Assert.Equal(Hold, GuardedAcceptance.Gravest([]));

    [Theory] // JCGM 106:2012 examples, from memory, confidence 0.8; the arithmetic is computed
    [InlineData(509.7, 8.6, 490.0, null, 0.989)]
    [InlineData(-5.47, 0.05, null, -5.40, 0.919)]
    [InlineData(13.6, 1.8, 12.5, 16.3, 0.663)]
    public void ConformanceProbability_Jcgm106Examples_Match(double y, double u, double? lower, double? upper, double expected) =>
        Assert.Equal(expected, GuardedAcceptance.ConformanceProbability(y, u, lower, upper), 0.0006);

    [Theory] // computed: limit 1:15, u 0.005
    [InlineData(20, 0.9996)]
    [InlineData(15, 0.5)]
    [InlineData(14, 0.1705)]
    public void ConformanceProbability_SlopeAgainstOneInFifteen_Matches(double oneIn, double expected) =>
        Assert.Equal(expected, GuardedAcceptance.ConformanceProbability(1 / oneIn, 0.005, upperLimit: 1.0 / 15), 0.00005);

    [Theory]
    [InlineData(5.9, 0)]
    [InlineData(6, 1)]
    [InlineData(6.1, 1)]
    public void ConformanceProbability_NoUncertainty_IsAllOrNothing(double y, double expected) =>
        Assert.Equal(expected, GuardedAcceptance.ConformanceProbability(y, 0, 6));

    [Theory] // tables of the normal distribution
    [InlineData(0, 0.5)]
    [InlineData(1, 0.841344746068543)]
    [InlineData(1.959963984540054, 0.975)]
    [InlineData(-3, 0.00134989803163009)]
    [InlineData(8, 1)]
    [InlineData(-40, 0)]
    public void NormalDistribution_TableValues_Match(double x, double expected) =>
        Assert.Equal(expected, NormalDistribution.Cumulative(x), 1e-14);

    [Fact]
    public void NormalDistribution_AgainstItsOwnDensity_IntegratesToItself()
    {
        // Simpson's rule on the density, an independent way to the same number, over both forms of the approximation.
        const int steps = 2000;
        for (var x = -9.0; x < 9; x += 0.37)
        {
            double Density(double t) => Math.Exp(-t * t / 2) / Math.Sqrt(2 * Math.PI);
            var h = x / steps;
            var sum = Density(0) + Density(x);
            for (var i = 1; i < steps; i++)
                sum += Density(i * h) * (i % 2 == 0 ? 2 : 4);
            Assert.Equal(0.5 + (sum * h / 3), NormalDistribution.Cumulative(x), 1e-12);
        }

        Assert.True(double.IsNaN(NormalDistribution.Cumulative(double.NaN)));
    }
}
