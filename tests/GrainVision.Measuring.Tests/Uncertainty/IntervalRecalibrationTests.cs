using System.Text;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Presentation.Tests.Pictures;
using GrainVision.Measuring.Uncertainty;

namespace GrainVision.Measuring.Tests.Uncertainty;

/// <summary>Intervals under factors: values stay, ends move, nothing leaves its range, and what was stated is left alone.</summary>
public sealed class IntervalRecalibrationTests
{
    private static readonly Measured Ten = new(10, 9, 12);

    [Fact]
    public void Stretch_ByTwo_DoublesBothHalves() => Assert.Equal(new Measured(10, 8, 14), IntervalRecalibration.Stretch(Ten, 2));

    [Fact]
    public void StretchInverse_OfADistance_IsEvenInCurvature()
    {
        var half = 0.002;
        var pith = new Measured(100, 1 / (0.01 + half), 1 / (0.01 - half));
        var wide = IntervalRecalibration.StretchInverse(pith, 3);
        Assert.Equal(1 / 0.016, wide.Low, 1e-9);
        Assert.Equal(1 / 0.004, wide.High, 1e-9);
        Assert.Equal(10_000, IntervalRecalibration.StretchInverse(pith, 8).High, 1e-6); // straight rings: farther than can be told
    }

    [Fact]
    public void Apply_ToAnEnd_WidensWhatItsGroupsSay()
    {
        var before = Sample("end-accept");
        var after = IntervalRecalibration.Apply(before, Factors("""
            [{"quantity":"rings-per-inch","group":"GROUP","factor":2,"values":100,"heldBefore":0.9},
             {"quantity":"latewood-share","group":"GROUP","factor":1000,"values":100,"heldBefore":0.9}]
            """.Replace("GROUP", new PhotoConditions(before, false).GroupOf(CalibratedQuantity.RingsPerInch), StringComparison.Ordinal)), ringAngleTold: false);
        Assert.Equal(before.Rings!.PerInch.Value, after.Rings!.PerInch.Value);
        Assert.Equal(2 * (before.Rings.PerInch.High - before.Rings.PerInch.Low), after.Rings.PerInch.High - after.Rings.PerInch.Low, 1e-9);
        Assert.Equal(Units.MmPerInch / after.Rings.PerInch.Low, after.Rings.MeanWidthMm.High, 1e-9);
        Assert.Equal((0, 1), (after.Rings.LatewoodShare.Low, after.Rings.LatewoodShare.High));
        Assert.Equal(before.Rings.WorstInch, after.Rings.WorstInch);
        Assert.Equal(before.RingAngle!.Degrees, after.RingAngle!.Degrees);
    }

    [Fact]
    public void Apply_WithoutCalibration_ChangesNoInterval()
    {
        var before = Sample("end-accept");
        var after = IntervalRecalibration.Apply(before, IntervalCalibration.None, ringAngleTold: false);
        Assert.Equal(before.Rings!.PerInch, after.Rings!.PerInch);
        Assert.Equal(before.Scale.PixelsPerMm, after.Scale.PixelsPerMm);
        Assert.Equal(before.RingAngle!.Degrees, after.RingAngle!.Degrees);
    }

    [Theory]
    [InlineData(ScaleKind.Rule, "rule")]
    [InlineData(ScaleKind.Card, "card")]
    [InlineData(ScaleKind.Pitch, null)]
    [InlineData(ScaleKind.OutlineSize, null)]
    public void Scale_ThatWasStated_IsLeftAlone(ScaleKind kind, string? group)
    {
        var end = Sample("end-accept");
        Assert.Equal(group, new PhotoConditions(end with { Scale = end.Scale with { Kind = kind } }, false).GroupOf(CalibratedQuantity.Scale));
    }

    [Fact]
    public void Slope_OfRingLinesWhoseAngleNobodyTold_IsLeftAlone()
    {
        var face = Sample("face-reject");
        face = face with { Grain = face.Grain! with { Basis = GrainBasis.RingLines } };
        Assert.Null(new PhotoConditions(face, ringAngleTold: false).GroupOf(CalibratedQuantity.Slope));
        Assert.NotNull(new PhotoConditions(face, ringAngleTold: true).GroupOf(CalibratedQuantity.Slope));
    }

    [Fact]
    public void EmbeddedCalibration_NarrowsNothingByMoreThanItsCardSays() =>
        Assert.All(IntervalCalibration.Embedded.Cells, c => Assert.InRange(c.Factor, 0.85, 20));

    [Theory]
    [InlineData("0")]
    [InlineData("-1")]
    public void Read_FactorThatIsNoFactor_IsABrokenBuild(string factor) =>
        Assert.Throws<InvalidDataException>(() => Factors($$"""[{"quantity":"scale","group":"rule","factor":{{factor}},"values":1,"heldBefore":1}]"""));

    private static Measurement Sample(string name)
    {
        var (photo, measurement) = Samples.Make(name);
        photo.Dispose();
        return measurement;
    }

    private static IntervalCalibration Factors(string json) => IntervalCalibration.Read(Encoding.UTF8.GetBytes(json));
}
