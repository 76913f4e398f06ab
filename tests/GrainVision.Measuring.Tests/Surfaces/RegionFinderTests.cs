using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Section;
using GrainVision.Measuring.Surfaces;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Surfaces;

/// <summary>
/// Regions of maps that are drawn here, shapes known on paper: size is the distance between lines parallel to the edges, diameter the least between any two
/// parallel lines that enclose it (ANC-19 2.301).
/// </summary>
public sealed class RegionFinderTests
{
    /// <summary>A surface of 100 x 60 mm.</summary>
    private const double WidthMm = 100, HeightMm = 60;

    [Theory]
    [InlineData(3)]
    [InlineData(8)]
    [InlineData(20.5)]
    public void Find_Disc_HasItsDiameterEveryWay(double diameterMm)
    {
        var found = Assert.Single(Find(Map(MarkClass.Knot, Disc(50.1, 30.2, diameterMm / 2))));

        // 0.17 mm: half a pixel of the maps.
        Assert.Equal(diameterMm, found.Shape.DiameterMm, 0.17);
        Assert.Equal(diameterMm, found.Shape.WidthMm, 0.17);
        Assert.Equal(diameterMm, found.Shape.LongestMm, 0.25);
        Assert.Equal(HeightMm - 30.2 - (diameterMm / 2), found.InsideMm, 0.17);
        Assert.Equal(50.1, found.MiddleMm.X, 0.1);
        Assert.Equal(30.2, found.MiddleMm.Y, 0.1);
    }

    /// <summary>A bar of 20 x 4 mm turned by 30°: across the edges 20 sin 30 + 4 cos 30 = 13.46 mm, along them 20 cos 30 + 4 sin 30 = 19.32 mm, least 4 mm.</summary>
    [Fact]
    public void Find_TurnedBar_SizeAndDiameterByTheirTwoDefinitions()
    {
        var (sin, cos) = Math.SinCos(Math.PI / 6);
        var found = Assert.Single(Find(Map(MarkClass.Pocket, (u, v) =>
        {
            var (x, y) = (u - 50, v - 30);
            return Math.Abs((x * cos) + (y * sin)) <= 10 && Math.Abs((y * cos) - (x * sin)) <= 2 ? 0.9 : 0;
        })));

        Assert.Equal(13.46, found.Shape.WidthMm, 0.35);
        Assert.Equal(19.32, found.Shape.LengthMm, 0.35);
        Assert.Equal(4, found.Shape.DiameterMm, 0.35);
        Assert.Equal(MarkClass.Pocket, found.Class);
    }

    [Fact]
    public void Find_TwoKnotsWhoseOutskirtsTouch_AreTwo()
    {
        var found = Find(Map(MarkClass.Knot, (u, v) => Math.Max(Math.Max(Disc(40, 30, 5)(u, v), Disc(54, 30, 5)(u, v)), Math.Abs(v - 30) < 2 && u is > 40 and < 54 ? 0.15 : 0)));
        Assert.Equal(2, found.Count);
        Assert.All(found, r => Assert.Equal(10, r.Shape.DiameterMm, 0.25));
    }

    [Fact]
    public void Find_CrackInPiecesAMillimetreApart_IsOne()
    {
        var found = Assert.Single(Find(Map(MarkClass.Crack, (u, v) => Math.Abs(v - 30) < 0.4 && u is > 20 and < 60 && u is not (> 39.5 and < 40.5) ? 0.8 : 0)));
        Assert.Equal(40, found.Shape.LongestMm, 0.5);
        Assert.Equal(2, found.Parts);
    }

    [Fact]
    public void Find_PlaceThatALikelierClassCovers_IsToldOnceButACrackOnAStainIsKept()
    {
        var maps = Maps();
        Paint(maps, MarkClass.Knot, Disc(30, 30, 5, 0.9));
        Paint(maps, MarkClass.Pith, Disc(30, 30, 4, 0.4));
        Paint(maps, MarkClass.Stain, Disc(70, 30, 12, 0.95));
        Paint(maps, MarkClass.Crack, (u, v) => Math.Abs(v - 30) < 0.4 && u is > 62 and < 78 ? 0.5 : 0);
        Assert.Equal([MarkClass.Stain, MarkClass.Knot, MarkClass.Crack], Find(maps).Select(r => r.Class));
    }

    /// <summary>A missing knot or an end check lies at the wood's very edge: it is found there, and what lies beside the wood is not.</summary>
    [Fact]
    public void Find_AtTheEdge_IsKeptAndBesideTheWoodIsNot()
    {
        var maps = Maps();
        Paint(maps, MarkClass.Hole, (u, v) => u is > 40 and < 50 && v is > -1 and < 4 ? 0.9 : 0);
        Paint(maps, MarkClass.Knot, Disc(70, -3, 1.5));
        var found = Assert.Single(Find(maps));
        Assert.Equal(MarkClass.Hole, found.Class);
        Assert.Equal(0, found.InsideMm);
    }

    /// <summary>Small knots close together count as one (ANC-19 2.301).</summary>
    [Theory]
    [InlineData(3, 1)]
    [InlineData(2, 2)]
    public void Find_PinKnots_ThreeAreOneCluster(int pins, int regions)
    {
        var found = Find(Map(MarkClass.Knot, (u, v) => Enumerable.Range(0, pins).Max(i => Disc(40 + (8 * i), 30, 1.5)(u, v))));
        Assert.Equal(regions, found.Count);
        Assert.Equal(pins, found.Sum(r => r.Parts));
    }

    [Fact]
    public void Find_BelowTheSeed_IsNoRegion() => Assert.Empty(Find(Map(MarkClass.Crack, Disc(50, 30, 5, RegionFinder.Seed - 0.02))));

    [Fact]
    public void KindOf_RegionThatIsMoreLikelyPencil_SaysMarking()
    {
        var maps = Map(MarkClass.Crack, Disc(50, 30, 3, 0.4));
        Paint(maps, MarkClass.Marking, Disc(50, 30, 6, 0.8));
        Assert.Equal(HarmlessKind.Marking, HarmlessMarks.KindOf(maps, Assert.Single(Find(maps))));
        Assert.Equal(HarmlessKind.ClearWood, HarmlessMarks.KindOf(Maps(), Find(maps)[0]));
    }

    private static Func<double, double, double> Disc(double u, double v, double radius, double p = 0.9) =>
        (x, y) => ((x - u) * (x - u)) + ((y - v) * (y - v)) <= radius * radius ? p : 0;

    private static SurfaceFrame Plane()
    {
        const double pxPerMm = 6;
        PointPx[] corners = [new(0, 0), new(WidthMm * pxPerMm, 0), new(WidthMm * pxPerMm, HeightMm * pxPerMm), new(0, HeightMm * pxPerMm)];
        return SurfaceFrame.Create(corners, PhotoScale.Uniform(new ScaleFinding(ScaleKind.Pitch, Measured.Exact(pxPerMm))));
    }

    private static IReadOnlyList<MarkRegion> Find(SurfaceMaps maps) => RegionFinder.Find(maps, new RegionRim(maps, Plane()), MarkClasses.Blemishes);

    private static SurfaceMaps Maps() => new((int)((WidthMm + 8) * 3), (int)((HeightMm + 8) * 3), 3, new Point2d(-4 + (1 / 6.0), -4 + (1 / 6.0)));

    private static SurfaceMaps Map(MarkClass c, Func<double, double, double> p)
    {
        var maps = Maps();
        Paint(maps, c, p);
        return maps;
    }

    /// <summary>Each pixel holds the mean over 8 x 8 points of it, as a network's soft rim does.</summary>
    private static void Paint(SurfaceMaps maps, MarkClass c, Func<double, double, double> p)
    {
        var map = new ushort[maps.Width * maps.Height];
        for (var i = 0; i < map.Length; i++)
        {
            var sum = 0.0;
            for (var k = 0; k < 64; k++)
            {
                var at = maps.ToMm((i % maps.Width) + (((k % 8) + 0.5) / 8) - 0.5, (i / maps.Width) + (((k / 8) + 0.5) / 8) - 0.5);
                sum += p(at.X, at.Y);
            }

            map[i] = (ushort)(sum / 64 * SurfaceMaps.One);
        }

        maps[c] = map;
    }
}
