using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Tests.Quantities;

public class QuantityTests
{
    [Fact]
    public void Magnitude_IntervalHoldsZero_LowEndIsZero() =>
        Assert.Equal(new Measured(0.01, 0, 0.03), new Measured(0.01, -0.02, 0.03).Magnitude());

    [Fact]
    public void Magnitude_NegativeInterval_IsTurnedRound() =>
        Assert.Equal(new Measured(0.02, 0.01, 0.03), new Measured(-0.02, -0.03, -0.01).Magnitude());

    [Fact]
    public void Scale_NegativeFactor_SwapsTheEnds() =>
        Assert.Equal(new Measured(-2, -4, -1), new Measured(2, 1, 4).Scale(-1));

    [Fact]
    public void StandardUncertainty_Lopsided_TakesTheWiderHalf() =>
        Assert.Equal(2 / Measured.CoverageFactor, new Measured(5, 4, 7).StandardUncertainty, 1e-12);

    [Fact]
    public void OneIn_SlopeOfOneInFifteen_SteepEndFirst()
    {
        var oneIn = OneIn.From(new Measured(-1.0 / 15, -1.0 / 12, -1.0 / 20));
        Assert.Equal(15, oneIn.Value!.Value, 1e-9);
        Assert.Equal(12, oneIn.Low!.Value, 1e-9);
        Assert.Equal(20, oneIn.High!.Value, 1e-9);
    }

    [Fact]
    public void OneIn_IntervalHoldsZero_HasNoFlatEnd() => Assert.Null(OneIn.From(new Measured(0.01, -0.01, 0.03)).High);

    [Theory] // ANC-19 2.402 and NAVFAC MO-111, read: edge-grained at 45 degrees or more
    [InlineData(45, true)]
    [InlineData(44.99, false)]
    [InlineData(90, true)]
    public void EdgeGrained_BoundaryAt45_Belongs(double degrees, bool edgeGrained) =>
        Assert.Equal(edgeGrained, new RingAngleFinding(Measured.Exact(degrees), degrees, degrees, CutClass.From(degrees), null).EdgeGrained);

    [Theory] // GTR-190 ch. 3 glossary, from memory, confidence 0.85
    [InlineData(29.9, Cut.FlatSawn)]
    [InlineData(30, Cut.RiftSawn)]
    [InlineData(59.9, Cut.RiftSawn)]
    [InlineData(60, Cut.QuarterSawn)]
    public void CutClass_TradeConvention_SplitsAt30And60(double degrees, Cut cut) => Assert.Equal(cut, CutClass.From(degrees));

    [Theory] // computed: 25.4 mm over rings per inch
    [InlineData(6, 4.233)]
    [InlineData(8, 3.175)]
    public void MeanRingWidth_OfRingsPerInch_IsInchOverCount(double perInch, double widthMm) =>
        Assert.Equal(widthMm, Units.MmPerInch / perInch, 0.0005);
}
