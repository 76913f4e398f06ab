using GrainVision.Measuring.Numerics;
using GrainVision.Measuring.Rings;

namespace GrainVision.Measuring.Tests.Rings;

/// <summary>Profiles drawn by formula: saw-tooth rings, dark latewood to light earlywood at each boundary.</summary>
public sealed class BoundaryFinderTests
{
    private const double PitchPxPerMm = 10;

    /// <summary>Beyond a slanting rim most bands show nothing; the rings that the others show there are rings all the same.</summary>
    [Fact]
    public void Find_BandsEndAtASlantingRim_RingsThereAreKept()
    {
        var whole = Profile(395, x => -(x / 20.0 % 1));
        var (full, half) = (whole, Profile(395, x => x < 200 ? -(x / 20.0 % 1) : 0));
        double[][] bands = [full, full, half, half, half, half, half];
        bool[][] seen = [.. bands.Select(b => Enumerable.Range(0, 395).Select(x => b == full || x < 200).ToArray())];

        var all = BoundaryFinder.Find(new RingBands(whole, bands, 0, PitchPxPerMm) { Seen = seen }, 1)!;
        var blind = BoundaryFinder.Find(new RingBands(whole, bands, 0, PitchPxPerMm), 1)!;

        Assert.Equal(19, all.AtPx.Length);
        Assert.Equal(0, all.Dropped);
        Assert.True(blind.AtPx.Length < 12);
    }

    /// <summary>What is left of the rings' bend shifts the mean of the whole strip by 2 samples: the middle says where the boundaries are.</summary>
    [Fact]
    public void Find_WholeStripIsShifted_PlacedAsTheMiddleShows()
    {
        var shifted = Profile(395, x => -((x + 2) / 20.0 % 1));
        var middle = Profile(395, x => -(x / 20.0 % 1));

        var found = BoundaryFinder.Find(new RingBands(shifted, [shifted], 0, PitchPxPerMm) { Middle = middle }, 1)!;

        Assert.All(found.AtPx, x => Assert.InRange(Math.IEEERemainder(x, 20), -1, 1));
    }

    /// <summary>Six rings of 3 samples between wide ones, blurred by 0.8 samples: their steps stand a fifth as high.</summary>
    [Fact]
    public void Find_NarrowRingsBlurredAmongWideOnes_AreFound()
    {
        double[] at = [.. Rings()];
        var sharp = Enumerable.Range(0, 4 * 320).Select(i =>
        {
            var x = i / 4.0;
            var k = Math.Max(0, Array.FindLastIndex(at, b => b <= x));
            return k + 1 < at.Length ? -100 * (x - at[k]) / (at[k + 1] - at[k]) : 0;
        }).ToArray();
        var blurred = Measuring.Numerics.Profile.Smooth(sharp, 4 * 0.8).Where((_, i) => i % 4 == 0).ToArray();
        var normal = RingBands.Normalise(blurred, PitchPxPerMm);

        var plain = BoundaryFinder.Find(new RingBands(normal, [normal], 0, PitchPxPerMm), 1)!;
        var sharpened = BoundaryFinder.Find(new RingBands(normal, [normal], 0, PitchPxPerMm) { Middle = normal }, 1)!;

        Assert.True(sharpened.AtPx.Length >= plain.AtPx.Length);
        Assert.InRange(sharpened.AtPx.Length, at.Length - 3, at.Length);
    }

    /// <summary>8 samples a ring, twice six of 3.4 among them.</summary>
    private static IEnumerable<double> Rings()
    {
        var at = 0.0;
        for (var i = 0; at < 310; i++)
        {
            yield return at;
            at += i is (>= 10 and < 16) or (>= 25 and < 31) ? 3.4 : 8;
        }
    }

    private static double[] Profile(int length, Func<double, double> tone) => RingBands.Normalise([.. Enumerable.Range(0, length).Select(x => 100 * tone(x))], PitchPxPerMm);
}
