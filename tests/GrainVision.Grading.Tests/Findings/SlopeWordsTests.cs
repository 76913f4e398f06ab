using System.Globalization;
using System.Text.RegularExpressions;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Tests.Findings;

/// <summary>How the trade writes a slope: common practice, no source. "1 in N": Wood Handbook FPL-GTR-190 p. 5-29.</summary>
public class SlopeWordsTests
{
    [Theory]
    [InlineData(1 / 21.4, 1 / 26.9, 1 / 18.2, "1:21 (1:18 to 1:26)")]
    [InlineData(-1 / 21.4, -1 / 18.2, -1 / 26.9, "1:21 (1:18 to 1:26)")]
    [InlineData(1 / 54.0, -0.001, 1 / 6.1, "1:54 (1:6 or straighter)")]
    [InlineData(0.001, -0.01, 1 / 30.5, "straighter than 1:60 (1:30 at worst)")]
    [InlineData(0.0001, -0.001, 0.001, "straighter than 1:60")]
    [InlineData(1 / 15.0, 1 / 15.0, 1 / 15.0, "1:15")]
    [InlineData(double.NaN, 0, 1, "not known")]
    public void From_Slope_ReadsLikeThis(double value, double low, double high, string expected) =>
        Assert.Equal(expected, SlopeWords.From(new Measured(value, low, high)));

    [Fact]
    public void From_LimitOfNoWholeNumber_TakesItsDecimals() => Assert.Equal("1:12.9 (1:12.4 to 1:13.2)", SlopeWords.From(new Measured(1 / 12.95, 1 / 13.29, 1 / 12.49), 12.5));

    /// <summary>Printed slopes stand on their own side of a whole-number limit.</summary>
    [Fact]
    public void From_AnySlope_EveryEndStandsOnItsSideOfTheLimit()
    {
        var random = new Random(20261128);
        for (var i = 0; i < 20_000; i++)
        {
            var n = 5 + (random.NextDouble() * 50);
            var m = new Measured(1 / n, 1 / (n * (1 + (random.NextDouble() * 0.05))), 1 / (n * (1 - (random.NextDouble() * 0.3))));
            var printed = Regex.Matches(SlopeWords.From(m), @"1:(\d+)").Select(x => double.Parse(x.Groups[1].Value, CultureInfo.InvariantCulture)).ToArray();
            double[] ends = [m.Value, m.High, m.Low];
            for (var k = 0; k < printed.Length; k++)
                Assert.All(new[] { 10, 15, 20 }, limit => Assert.Equal((1 / ends[k]) + 1e-6 >= limit, printed[k] >= limit));
        }
    }
}
