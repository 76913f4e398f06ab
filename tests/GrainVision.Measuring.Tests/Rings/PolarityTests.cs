using GrainVision.Measuring.Numerics;
using GrainVision.Measuring.Rings;

namespace GrainVision.Measuring.Tests.Rings;

/// <summary>Which side of a ring is the sharp one: anatomy of softwood, a sharp step from dark latewood to the light earlywood of the next year (common knowledge).</summary>
public sealed class PolarityTests
{
    private const double PitchPxPerMm = 10;

    private static readonly double[] Boundaries = [.. Enumerable.Range(1, 19).Select(i => 20.0 * i)];

    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    public void Polarity_SawToothRings_SharpSideTellsIt(int polarity)
    {
        // Tone falls over the ring and jumps back at its end; mirrored for the other way round.
        Assert.Equal((polarity, true), Polarity(x => -polarity * (x / 20.0 % 1), 0));
    }

    [Fact]
    public void Polarity_RingsAlikeFromBothSides_IsUnknown() => Assert.False(Polarity(x => Math.Cos(2 * Math.PI * x / 20), 0).Sure);

    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    public void Polarity_RingsAlikeFromBothSides_ThePithSideDecides(int expected) =>
        Assert.Equal((expected, true), Polarity(x => Math.Cos(2 * Math.PI * x / 20), expected));

    [Fact]
    public void Polarity_SharpSideAgainstThePithSide_IsNotSure() => Assert.False(Polarity(x => -(x / 20.0 % 1), -1).Sure);

    private static (int Polarity, bool Sure) Polarity(Func<double, double> tone, int expected)
    {
        double[] profile = [.. Enumerable.Range(0, 401).Select(x => 100 * tone(x))];
        return StripProfile.Polarity(Profile.Normalise(profile, 8 * PitchPxPerMm), Boundaries, expected);
    }
}
