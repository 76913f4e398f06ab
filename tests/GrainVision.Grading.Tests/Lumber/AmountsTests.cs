using GrainVision.Grading.Lumber;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Tests.Lumber;

public class BoardFeetTests
{
    [Fact]
    public void Of_FourteenFeetOfTwoByFour_IsNineAndAThird() // US Navy Engineering Aid Basics ch. 6, read
        => Assert.Equal(9 + (1.0 / 3), BoardFeet.Compute(2, 4, 14), 1e-12);

    [Theory] // US Navy Engineering Aid Basics ch. 6, read; PS 20, from memory, confidence 0.9
    [InlineData(0.5, 12, 1, 1)]
    [InlineData(0.75, 12, 10, 10)]
    [InlineData(1, 12, 1, 1)]
    [InlineData(1.25, 12, 1, 1.25)]
    public void Of_ThicknessUnderOneInch_CountsAsOne(double t, double w, double l, double expected) =>
        Assert.Equal(expected, BoardFeet.Compute(t, w, l), 1e-12);

    [Theory] // trade: 4/4 = 1 in, 8/4 = 2 in
    [InlineData(4, 1)]
    [InlineData(8, 2)]
    [InlineData(5, 1.25)]
    public void ThicknessInOfQuarters_NominalThickness_IsInches(int quarters, double inches) => Assert.Equal(inches, BoardFeet.ThicknessInOfQuarters(quarters));

    [Fact]
    public void Of_TwentyFootFlitchOfEightQuarters_IsThirtyThirds() // arithmetic: 2 x 10 x 20 / 12
        => Assert.Equal(33.3333, BoardFeet.Compute(BoardFeet.ThicknessInOfQuarters(8), 10, 20), 0.0001);

    [Theory]
    [InlineData(0, 1, 1)]
    [InlineData(1, -1, 1)]
    [InlineData(1, 1, double.NaN)]
    public void Of_NoSize_IsABug(double t, double w, double l) => Assert.Throws<ArgumentOutOfRangeException>(() => BoardFeet.Compute(t, w, l));

    [Fact]
    public void ThicknessInOfQuarters_None_IsABug() => Assert.Throws<ArgumentOutOfRangeException>(() => BoardFeet.ThicknessInOfQuarters(0));
}

public class SpecificGravityTests
{
    [Fact]
    public void OvenDry_Anc19SpruceSpar_Is0371()
    {
        // ANC-19 2.20, read: 1-1/16 x 5-1/2 in x 17-1/2 ft, 17.35 lb at 11 %: 24.43 lb/ft3, less 1.32 is 23.11, SG 0.371.
        var volume = SpecificGravity.VolumeFt3(1 + (1.0 / 16), 5.5, 17.5);
        Assert.Equal(24.43, SpecificGravity.DensityLbPerFt3(17.35, volume, 11, 11, SpecificGravity.SpruceStepLbPerFt3), 0.005);
        var dry = SpecificGravity.DensityLbPerFt3(17.35, volume, 11, 0, SpecificGravity.SpruceStepLbPerFt3);
        Assert.Equal(23.11, dry, 0.005);
        Assert.Equal(0.371, SpecificGravity.FromOvenDryDensity(dry), 0.0005);
    }

    [Fact]
    public void Density_Anc19NobleFir_Is2411AtFifteenPercentAndPasses()
    {
        // ANC-19 2.20, read: 0.710 ft3, 16.85 lb at 11 %: 24.11 lb/ft3 at 15 %, passes 23.9.
        var density = SpecificGravity.DensityLbPerFt3(16.85, 0.710, 11, 15, SpecificGravity.NobleFirStepLbPerFt3);
        Assert.Equal(24.11, density, 0.005);
        Assert.True(density >= 23.9);
    }
}
