using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Tests.Verdicts;
using static GrainVision.Grading.Findings.VerdictOutcome;
using static GrainVision.Grading.Tests.Pieces.PieceSamples;

namespace GrainVision.Grading.Tests.Pieces;

/// <summary>What no photo shows: a piece's moisture, its specific gravity and its species.</summary>
public class MoistureAndDensityTests
{
    private const double In = Units.MmPerInch;

    [Theory] // ANC-19 2.412: 8 to 12 %; a meter reads to a point; AC 43.13-1B 1-29g: above 20 % suspect decay
    [InlineData(10.0, Accept, null)]
    [InlineData(11.5, Hold, "Season")]
    [InlineData(15.0, Hold, "Season")]
    [InlineData(24.0, Hold, "suspect decay")]
    [InlineData(null, Hold, "Read the moisture")]
    public void Moisture_ByTheMetersReading(double? percent, VerdictOutcome expected, string? hand)
    {
        var reason = Photos().Judged(piece: Flitch with { MoisturePercent = percent }).Of("moisture");
        Assert.Equal(expected, reason.Outcome);
        if (hand is not null)
            Assert.Contains(hand, reason.HandCheck, StringComparison.Ordinal);
    }

    [Theory] // ANC-19 Table 2-13: 0.36 for spruce
    [InlineData(10.54, Accept)]
    [InlineData(9.6, Hold)]
    [InlineData(8.5, Reject)]
    [InlineData(null, Hold)]
    public void SpecificGravity_ByWeight(double? pounds, VerdictOutcome expected) =>
        Assert.Equal(expected, Photos().Judged(piece: Flitch with { WeightLb = pounds }).Of("specific-gravity").Outcome);

    [Fact]
    public void SpecificGravity_Anc19WorkedSpar_IsInTheInterval() // ANC-19 2.20: 1-1/16 x 5-1/2 in x 17-1/2 ft, 17.35 lb at 11 %: 0.371
    {
        var spar = new Piece { Number = 7, NominalQuarters = 4, WidthIn = 5.5, LengthFt = 17.5, Species = "spruce", MoisturePercent = 11, WeightLb = 17.35 };
        var size = new SectionSize(Measured.Exact(5.5 * In), Measured.Exact(1.0625 * In));
        PlacedMeasurement[] ends = [.. new[] { Surface.EndA, Surface.EndB }.Select(e => End(e) with { Measurement = End(e).Measurement with { Size = size } })];
        var gravity = PieceWeight.SpecificGravity(spar, PieceJoiner.Join(spar, ends))!.Value;
        Assert.Equal(0.371, gravity.Value, 0.001);
        Assert.True(gravity.Low < 0.371 && gravity.High > 0.371 && gravity.High - gravity.Low < 0.05, $"{gravity}");
    }

    [Fact]
    public void Species_NotInTheBooks_IsNeverDecided() // ash: no published limit
        => Assert.Equal(Hold, Photos().Judged(piece: Flitch with { Species = "white-ash" }).Outcome);
}
