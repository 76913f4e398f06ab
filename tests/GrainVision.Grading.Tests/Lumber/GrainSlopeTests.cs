using System.Globalization;
using GrainVision.Grading.Lumber;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Tests.Lumber;

public class GrainSlopeTests
{
    // ANC-19 (1943) Table 2-11, combined slope 1 in ...: the row is the flatter slope, columns the steeper 1:11, 1:12, ... up to
    // the row's own. Read from a scan; US Government work.
    private const string Table2_11 = """
        11: 7.8
        12: 8.1 8.5
        13: 8.4 8.8 9.2
        14: 8.7 9.1 9.5 9.9
        15: 8.9 9.4 9.8 10.2 10.6
        16: 9.1 9.6 10.1 10.5 10.9 11.3
        17: 9.2 9.8 10.3 10.8 11.2 11.7 12.0
        18: 9.4 10.0 10.5 11.1 11.5 12.0 12.4 12.7
        19: 9.5 10.1 10.7 11.3 11.8 12.2 12.7 13.1 13.4
        20: 9.6 10.3 10.9 11.5 12.0 12.5 13.0 13.4 13.8 14.1
        21: 9.7 10.4 11.1 11.6 12.2 12.7 13.2 13.7 14.1 14.5 14.9
        22: 9.8 10.5 11.2 11.8 12.4 12.9 13.5 13.9 14.4 14.8 15.2 15.6
        23: 9.9 10.6 11.3 12.0 12.6 13.1 13.7 14.2 14.6 15.1 15.5 15.9 16.3
        24: 10.0 10.7 11.4 12.1 12.7 13.3 13.9 14.4 14.9 15.4 15.8 16.2 16.6 17.0
        25: 10.1 10.8 11.5 12.2 12.9 13.5 14.1 14.6 15.1 15.6 16.1 16.5 16.9 17.3 17.7
        26: 10.1 10.9 11.6 12.3 13.0 13.6 14.2 14.8 15.3 15.9 16.3 16.8 17.2 17.6 18.0 18.4
        27: 10.2 11.0 11.7 12.4 13.1 13.8 14.4 15.0 15.5 16.1 16.6 17.1 17.5 17.9 18.3 18.7 19.1
        28: 10.2 11.0 11.8 12.5 13.2 13.9 14.5 15.1 15.7 16.3 16.8 17.3 17.8 18.2 18.6 19.1 19.4 19.8
        29: 10.3 11.1 11.9 12.6 13.3 14.0 14.7 15.3 15.9 16.5 17.0 17.5 18.0 18.5 18.9 19.4 19.8 20.1 20.5
        """;

    [Fact]
    public void Combined_EveryCellOfAnc19Table2_11_WithinTheRoundingOfThePrint()
    {
        var cells = Cells().ToList();
        Assert.Equal(190, cells.Count);
        foreach (var (flatter, steeper, printed) in cells)
        {
            var combined = OneIn(GrainSlope.Combined(1.0 / flatter, 1.0 / steeper));
            Assert.True(Math.Abs(combined - printed) <= 0.051, $"1:{flatter} with 1:{steeper}: printed {printed}, computed {combined}");
        }
    }

    [Fact]
    public void Combined_Anc19Table2_11_OnlyTheTwoKnownSlipsAreNotRoundedProperly()
    {
        // The two printed rounding slips: 11 with 14 (8.65 printed 8.7) and 21 with 21 (14.849 printed 14.9).
        var slips = Cells()
            .Where(c => Math.Abs(OneIn(GrainSlope.Combined(1.0 / c.Flatter, 1.0 / c.Steeper)) - c.Printed) > 0.05)
            .Select(c => (c.Steeper, c.Flatter));
        Assert.Equal([(11, 14), (21, 21)], slips);
    }

    [Theory]
    [InlineData(20, 30, 16.641)] // ANC-19 2.3022, read: printed 1:16 2/3
    [InlineData(20, 25, 15.617)] // ANC-19 Table 2-11 note, read: printed 15.6
    [InlineData(18, 22, 13.931)] // the same: printed 13.9
    [InlineData(12, 18, 9.985)] // GTR-190 p. 5-30, "1 in 18" from memory, confidence 0.95: printed 1:10
    [InlineData(21, 21, 14.849)] // computed: two slopes of 1:21 are steeper than 1:15
    public void Combined_WorkedExamples_MatchTheHandbook(double a, double b, double expected) =>
        Assert.Equal(expected, OneIn(GrainSlope.Combined(1.0 / a, 1.0 / b)), 0.0005);

    [Fact]
    public void Combined_FifteenRootTwoOnBothFaces_IsExactlyOneInFifteen() // ANC-19 2.4102, computed bound
        => Assert.Equal(15, OneIn(GrainSlope.Combined(1 / (15 * Math.Sqrt(2)), 1 / (15 * Math.Sqrt(2)))), 1e-12);

    [Fact]
    public void Combined_FibreVector_IsItsTrueSlope()
    {
        // Geometry: two perpendicular faces of a piece along x show the y and the z part of the fibre (1, sy, sz).
        var (sy, sz) = (0.031, -0.052);
        var true3d = Math.Tan(Math.Acos(1 / Math.Sqrt(1 + (sy * sy) + (sz * sz))));
        Assert.Equal(true3d, GrainSlope.Combined(sy, sz), 1e-12);
    }

    [Fact]
    public void Combined_Intervals_HoldsEveryTruthInsideBoth()
    {
        var random = new Random(7);
        for (var i = 0; i < 5000; i++)
        {
            var (a, b) = (Slope(random), Slope(random));
            var combined = GrainSlope.Combined(a, b);
            var truth = GrainSlope.Combined(Inside(a, random), Inside(b, random));
            Assert.InRange(truth, combined.Low - 1e-12, combined.High + 1e-12);
            Assert.InRange(combined.Value, combined.Low, combined.High);
        }
    }

    [Fact]
    public void Combined_LowerCoverageOfTheTwo_IsKept() =>
        Assert.Equal(0.8, GrainSlope.Combined(new Measured(0.1, 0, 0.2, 0.8), new Measured(0.1, 0, 0.2)).Level);

    private static double OneIn(double tangent) => 1 / tangent;

    private static Measured Slope(Random random)
    {
        var value = (random.NextDouble() - 0.5) * 0.2;
        return new Measured(value, value - (random.NextDouble() * 0.05), value + (random.NextDouble() * 0.05));
    }

    private static double Inside(Measured m, Random random) => m.Low + (random.NextDouble() * (m.High - m.Low));

    private static IEnumerable<(int Flatter, int Steeper, double Printed)> Cells()
    {
        foreach (var line in Table2_11.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            var parts = line.Split(':');
            var steeper = 11;
            foreach (var cell in parts[1].Split(' ', StringSplitOptions.RemoveEmptyEntries))
                yield return (int.Parse(parts[0], CultureInfo.InvariantCulture), steeper++, double.Parse(cell, CultureInfo.InvariantCulture));
        }
    }
}
