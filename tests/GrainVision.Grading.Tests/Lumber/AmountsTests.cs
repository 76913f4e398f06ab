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
    [InlineData("4/4", 1)]
    [InlineData("8/4", 2)]
    [InlineData(" 5/4 ", 1.25)]
    public void TryParseQuarters_NominalThickness_IsInches(string text, double inches)
    {
        Assert.True(BoardFeet.TryParseQuarters(text, out var quarters));
        Assert.Equal(inches, BoardFeet.ThicknessInOfQuarters(quarters));
    }

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("8/8")]
    [InlineData("-8/4")]
    [InlineData("0/4")]
    [InlineData("2 in")]
    [InlineData("99999999999/4")]
    public void TryParseQuarters_AnythingElse_IsFalse(string? text) => Assert.False(BoardFeet.TryParseQuarters(text, out _));

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

public class MoistureTests
{
    [Fact]
    public void Content_WorkedSample_IsTwelvePercent() // ANC-19 2.2110, read: 30.8 g dries to 27.5 g
        => Assert.Equal(0.12, Moisture.Content(30.8, 27.5), 1e-12);

    [Fact]
    public void Content_DryHeavierThanWet_IsABug() => Assert.Throws<ArgumentOutOfRangeException>(() => Moisture.Content(27.5, 30.8));

    [Fact]
    public void Content_OvenDry_IsNone() => Assert.Equal(0, Moisture.Content(27.5, 27.5));
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
        Assert.Equal(0.371, SpecificGravity.OfOvenDryDensity(dry), 0.0005);
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

public class StrengthTests
{
    [Theory] // computed with Sitka P = 5610, Q = 580 psi by ANC-18 eq. 2:87 (read)
    [InlineData(3.814, 5402.7, 0.1)]
    [InlineData(15, 3548.5, 0.05)]
    [InlineData(45, 1051.3, 0.05)]
    [InlineData(0, 5610, 1e-9)]
    [InlineData(90, 580, 1e-9)]
    public void Hankinson_SitkaSpruce_MatchesTheWorkedValues(double degrees, double psi, double tolerance) =>
        Assert.Equal(psi, Hankinson.Strength(5610, 580, Units.DegToRad(degrees)), tolerance);

    [Fact]
    public void Shrinkage_FlatSawnSitkaLosingFivePercent_Is1315Percent()
    {
        // GTR-190 Table 13-5 coefficient from memory, confidence 0.95; ANC-19 2.24 (read) says about 1-1/4 % of the width.
        var sitka = Shrinkage.Known.Single(k => k.Species == "sitka-spruce");
        Assert.Equal(-0.01315, Shrinkage.Change(1, sitka.Tangential, -5), 1e-12);
        Assert.Equal(-0.0125, Shrinkage.Change(1, sitka.Tangential, -5), 0.001);
    }

    [Theory] // GTR-190 Table 13-5: white ash and basswood read, Sitka from memory, confidence 0.95
    [InlineData("sitka-spruce", 0.00148, 0.00263)]
    [InlineData("white-ash", 0.00169, 0.00274)]
    [InlineData("basswood", 0.00230, 0.00330)]
    public void Shrinkage_Coefficients_AreTheTables(string species, double radial, double tangential)
    {
        var known = Shrinkage.Known.Single(k => k.Species == species);
        Assert.Equal((radial, tangential), (known.Radial, known.Tangential));
        Assert.NotEmpty(known.Source);
    }
}
