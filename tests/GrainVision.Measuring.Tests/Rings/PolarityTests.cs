using GrainVision.Measuring.Rings;

namespace GrainVision.Measuring.Tests.Rings;

/// <summary>Which side of a ring is the sharp one: anatomy of softwood, a sharp step from dark latewood to the light earlywood of the next year (common knowledge).</summary>
public sealed class PolarityTests
{
    private const double PitchPxPerMm = 10;

    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    public void BoundaryFinder_SawToothRings_SharpSideTellsThePolarity(int polarity)
    {
        // Tone falls over the ring and jumps back at its end; mirrored for the other way round.
        var found = Find(x => -polarity * (x / 20.0 % 1), 0);

        Assert.Equal(polarity, found.Polarity);
        Assert.True(found.PolaritySure);
    }

    [Fact]
    public void BoundaryFinder_RingsAlikeFromBothSides_SaysThatPolarityIsUnknown()
    {
        Assert.False(Find(x => Math.Cos(2 * Math.PI * x / 20), 0).PolaritySure);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    public void BoundaryFinder_RingsAlikeFromBothSides_ThePithSideDecides(int expected)
    {
        var found = Find(x => Math.Cos(2 * Math.PI * x / 20), expected);

        Assert.Equal(expected, found.Polarity);
        Assert.True(found.PolaritySure);
    }

    [Fact]
    public void BoundaryFinder_SharpSideAgainstThePithSide_IsNotSure()
    {
        Assert.False(Find(x => -(x / 20.0 % 1), -1).PolaritySure);
    }

    private static Boundaries Find(Func<double, double> tone, int expected)
    {
        double[] profile = [.. Enumerable.Range(0, 401).Select(x => 100 * tone(x))];
        var normal = RingBands.Normalise(profile, PitchPxPerMm);
        return BoundaryFinder.Find(new RingBands(normal, [normal], 0, PitchPxPerMm), expected)!;
    }
}
