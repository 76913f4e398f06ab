using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Tests.Verdicts;
using GrainVision.Grading.Trials;
using Xunit;

namespace GrainVision.Grading.Tests.Trials;

/// <summary>
/// Against J. M. Bland, D. G. Altman, Lancet i (1986) 307-310, table 1: peak expiratory flow of 17 people by a large and a small meter, twice each (data and results from memory;
/// that the results follow from the data bears both out).
/// </summary>
public sealed class TrialTests
{
    private static readonly double[] Large1 = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427];
    private static readonly double[] Large2 = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421];
    private static readonly double[] Small1 = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 259, 477, 259, 350, 451];
    private static readonly double[] Small2 = [525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443];

    /// <summary>"The mean difference is -2.1 l/min (large minus small), the standard deviation of the differences 38.8."</summary>
    [Fact]
    public void OneMeasurementEach_BiasAndDeviationOfThePaper()
    {
        var found = Compare([.. Readings(Large1)], [.. Photos(Small1, 1)]);
        Assert.Equal(2.1, found.Bias!.Value.Value, 0.05);
        Assert.Equal(38.8, found.DifferenceSd!.Value, 0.05);
        Assert.Equal(found.Bias.Value.Value - (1.96 * 38.77), found.LowerLimit!.Value.Value, 0.2);
        // "The standard error of the bias is 38.8/sqrt(17) = 9.4; t for 16 degrees of freedom is 2.12; the 95 % interval is -22.0 to 17.8."
        Assert.Equal(-17.8, found.Bias.Value.Low, 0.15);
        Assert.Equal(22.0, found.Bias.Value.High, 0.15);
        // "The standard error of a limit is sqrt(3 s2/n) = 16.3": 34.6 to either side.
        Assert.Equal(34.6, (found.UpperLimit!.Value.High - found.UpperLimit.Value.Low) / 2, 0.15);
        Assert.Null(found.PhotoRepeatability);
    }

    /// <summary>"The coefficient of repeatability is 43.2 l/min for the large meter and 56.4 for the small": two standard deviations there, 1.96 here.</summary>
    [Fact]
    public void TwoMeasurementsEach_RepeatabilityAndCorrectedDeviationOfThePaper()
    {
        var found = Compare([.. Readings(Large1), .. Readings(Large2)], [.. Photos(Small1, 1), .. Photos(Small2, 2)]);
        Assert.Equal(43.2 * 1.96 / 2, found.HandRepeatability!.Value, 0.3);
        Assert.Equal(56.4 * 1.96 / 2, found.PhotoRepeatability!.Value, 0.3);
        // "The corrected standard deviation of single differences is 37.7."
        Assert.Equal(37.7, found.DifferenceSd!.Value, 0.1);
        Assert.Equal(34, found.Given);
        Assert.Equal(17, found.Pieces);
    }

    [Fact]
    public void IntervalsAreCounted_RefusedAndSilentPhotosToo()
    {
        var photos = new List<TrialPhoto>
        {
            new("a", "end-1.jpg", Samples.End(mean: new Measured(10, 9, 11)), null),
            new("a", "end-2.jpg", Samples.End(mean: new Measured(12, 11.5, 12.5)), null),
            new("a", "end-3.jpg", Samples.End() with { Rings = null }, null),
            new("a", "end-4.jpg", null, "scale-not-found"),
            new("a", "face-1.jpg", Samples.Face(), null),
        };
        var report = Trial.Compare([new HandReading("a", "perInch", 10.5)], photos);
        var found = Assert.Single(report.Quantities);
        Assert.Equal((3, 2, 1), (found.Photos, found.Given, found.IntervalsHold));
        Assert.Equal(1, report.Refused["scale-not-found"]);
        Assert.Null(found.Bias);
        // Wilson, 1 of 2: 9.5 to 90.5 % (E. B. Wilson, JASA 22, 1927; by the formula).
        Assert.Equal(0.095, found.IntervalShare!.Value.Low, 0.001);
        Assert.Equal(0.905, found.IntervalShare.Value.High, 0.001);
    }

    [Fact]
    public void Table_UnitsAreConverted()
    {
        Assert.True(HandReading.ReadTable("piece;quantity;value;unit;plusMinus\nP 1;slope;20;oneIn;2\nP 1;thickness;2;in;\nP 2;perInch;14;;\n").TryGet(out var readings, out _));
        Assert.Equal(2.8624, readings[0].Value, 0.0001); // atan(1/20)
        Assert.Equal(0.3174, readings[0].PlusMinus!.Value, 0.0001); // atan(1/18) - atan(1/20)
        Assert.Equal(new HandReading("P 1", "thickness", 50.8), readings[1]);
        Assert.Equal(new HandReading("P 2", "perInch", 14), readings[2]);
    }

    [Theory]
    [InlineData("piece,quantity\n", "value")]
    [InlineData("piece,quantity,value\nP,colour,1\n", "colour")]
    [InlineData("piece,quantity,value\nP,perInch,12,5\n", "line 2")]
    [InlineData("piece,quantity,value\n,perInch,12\n", "no piece")]
    [InlineData("piece,quantity,value,unit\nP,perInch,12,mm\n", "rings/in")]
    [InlineData("piece,quantity,value\nP,slope,-1\n", "-1")]
    public void Table_Unreadable_NamesTheLine(string csv, string names)
    {
        Assert.False(HandReading.ReadTable(csv).TryGet(out _, out var refusal));
        Assert.Equal("trial-unreadable", refusal.Code);
        Assert.Contains(names, refusal.Message, StringComparison.Ordinal);
    }

    /// <summary>9 to 11 by photo and 12 by hand: apart, but not for a hand that may be off by 2 (3, 4, 5: root of the sum of squares).</summary>
    [Theory]
    [InlineData(null, 0)]
    [InlineData(1.0, 0)]
    [InlineData(2.0, 1)]
    public void TheHandsOwnIntervalIsAllowedFor(double? plusMinus, int holds)
    {
        var found = Compare([new HandReading("a", "perInch", 12) { PlusMinus = plusMinus }], [new TrialPhoto("a", "end-1.jpg", Samples.End(mean: new Measured(10, 9, 11)), null)]);
        Assert.Equal(holds, found.IntervalsHold);
        Assert.Equal(plusMinus is not null, found.HandIntervalKnown);
    }

    private static TrialAgreement Compare(IReadOnlyList<HandReading> hand, IReadOnlyList<TrialPhoto> photos) => Assert.Single(Trial.Compare(hand, photos).Quantities);

    private static IEnumerable<HandReading> Readings(double[] values) => values.Select((v, i) => new HandReading($"{i}", "perInch", v));

    private static IEnumerable<TrialPhoto> Photos(double[] values, int number) =>
        values.Select((v, i) => new TrialPhoto($"{i}", $"end-{number}.jpg", Samples.End(mean: new Measured(v, v - 1, v + 1)), null));
}
