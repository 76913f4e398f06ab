using GrainVision.Measuring.Rings;

namespace GrainVision.Measuring.Tests.Rings;

/// <summary>Bands made up by hand. A growth ring goes all round the tree, so it crosses every band (botany, common knowledge); a stroke or a pore does not.</summary>
public sealed class RingConnectorTests
{
    private const int Columns = 400;

    [Fact]
    public void Connect_AllBandsShowTheRings_EachIsSure()
    {
        var found = RingConnector.Connect(Band(Rings()), [Band(Rings()), Band(Rings())]);

        Assert.Equal(Rings(), found.Select(f => f.At));
        Assert.All(found, f => Assert.True(f.Chance > 0.99 && f.Bands == 3));
    }

    /// <summary>4 columns are a fifth of the ring: what the field left of the rings' slant.</summary>
    [Fact]
    public void Connect_SideBandIsShifted_RingsStayWhereTheMiddleShowsThem()
    {
        var found = RingConnector.Connect(Band(Rings()), [Band(Rings().Select(x => x + 4)), Band(Rings().Select(x => x - 4))]);

        Assert.Equal(Rings(), found.Select(f => f.At));
        Assert.All(found, f => Assert.InRange(f.Scatter, 0, 0.1));
    }

    [Fact]
    public void Connect_StrokeOnOneBand_IsNoRing()
    {
        var found = RingConnector.Connect(Band([.. Rings(), 208]), [Band(Rings()), Band(Rings())]);

        Assert.True(Assert.Single(found, f => f.At == 208).Chance < 0.5);
    }

    /// <summary>Two bands beside the path against the one on it: a doubt, which the widths of the rings settle.</summary>
    [Fact]
    public void Connect_RingMissedInTheMiddle_IsTakenWhereItFillsAGap()
    {
        var found = RingConnector.Connect(Band(Rings().Where(x => x != 200)), [Band(Rings()), Band(Rings())]);

        Assert.InRange(Assert.Single(found, f => Math.Abs(f.At - 200) < 1).Chance, 0.2, 0.8);
        double[] at = [.. found.Select(f => f.At)];
        Assert.Equal(Enumerable.Range(0, at.Length), RingSequence.Choose(at, [.. found.Select(f => Math.Log(f.Chance / (1 - f.Chance)))], 2));
    }

    /// <summary>A knot on one side hides the rings there; the other bands' word is enough, and the blind one has none.</summary>
    [Fact]
    public void Connect_BlindBand_HasNoVote()
    {
        var blind = Band(Rings().Where(x => x < 200), x => x >= 190 ? 1 : 0);

        var found = RingConnector.Connect(Band(Rings()), [blind, Band(Rings())]);

        Assert.All(found, f => Assert.True(f.Chance > 0.99));
        Assert.All(found.Where(f => f.At >= 200), f => Assert.Equal(2, f.Bands));
    }

    private static List<double> Rings() => [.. Enumerable.Range(1, 19).Select(i => 20.0 * i)];

    private static RingBand Band(IEnumerable<double> at, Func<int, double>? unreadable = null) => new(
        [.. at.Order().Select(x => new BandBoundary(x, 0.97))], [.. Enumerable.Range(0, Columns).Select(x => unreadable?.Invoke(x) ?? 0)]);
}
