using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Scale;

namespace GrainVision.Measuring.Tests.Scale;

public sealed class OutlineSizeScaleTests
{
    [Theory]
    [InlineData(0, 0, 0)]
    [InlineData(30, 0, 0)]
    [InlineData(-100, 12, -7)]
    [InlineData(180, 25, 0)]
    public void Make_KnownCamera_ScaleAndMillimetresExact(double turn, double tiltX, double tiltY)
    {
        var map = CameraView.Map(new PointPx(50, 12.5), new PointPx(600, 450), 8, turn, tiltX, tiltY, 1500);
        PointPx[] mm = [new(0, 0), new(100, 0), new(100, 25), new(0, 25)];

        Assert.True(OutlineSizeScaleMaker.Make(mm.Select(map.Map).ToArray(), 100, 25).TryGet(out var scale, out _));

        Assert.Equal(map.MagnificationAt(new PointPx(50, 12.5)), scale.Finding.PixelsPerMm.Value, 6);
        var q = scale.ToMm(map.Map(new PointPx(31, 7)));
        Assert.Equal(31, q.X, 5);
        Assert.Equal(7, q.Y, 5);
        Assert.Equal(scale.Finding.PixelsPerMm.Value, scale.PixelsPerMmAt(map.Map(new PointPx(50, 12.5))), 6);
    }

    [Fact]
    public void Make_CornersTheOtherWayRound_SameScaleNotMirrored()
    {
        PointPx[] clockwise = [new(100, 100), new(900, 110), new(890, 310), new(105, 300)];
        PointPx[] other = [clockwise[1], clockwise[0], clockwise[3], clockwise[2]];

        Assert.True(OutlineSizeScaleMaker.Make(clockwise, 100, 25).TryGet(out var a, out _));
        Assert.True(OutlineSizeScaleMaker.Make(other, 100, 25).TryGet(out var b, out _));

        Assert.Equal(a.Finding.PixelsPerMm.Value, b.Finding.PixelsPerMm.Value, 6);
        Assert.True(new Homography(a.MmFromPx!.ToArray()).Determinant > 0);
        Assert.True(new Homography(b.MmFromPx!.ToArray()).Determinant > 0);
        Assert.Equal(0, b.ToMm(other[0]).X, 6);
        Assert.Equal(100, b.ToMm(other[1]).X, 6);
    }

    /// <summary>The interval against a thousand draws of the corner error it claims: 93 to 97 % must hold the truth.</summary>
    [Fact]
    public void Make_NoisyCorners_IntervalHoldsAsOftenAsItSays()
    {
        var map = CameraView.Map(new PointPx(50, 12.5), new PointPx(600, 450), 6, 20, 8, -5, 1500);
        PointPx[] mm = [new(0, 0), new(100, 0), new(100, 25), new(0, 25)];
        var truth = map.MagnificationAt(new PointPx(50, 12.5));
        var random = new Random(11);
        var held = 0;
        for (var i = 0; i < 1000; i++)
        {
            var corners = mm.Select(p => map.Map(p) + new PointPx(0.75 * Normal(random), 0.75 * Normal(random))).ToArray();
            Assert.True(OutlineSizeScaleMaker.Make(corners, 100, 25).TryGet(out var scale, out _));
            if (truth >= scale.Finding.PixelsPerMm.Low && truth <= scale.Finding.PixelsPerMm.High)
                held++;
        }

        Assert.InRange(held, 930, 970);
    }

    public static TheoryData<double[], double, double, string> Unusable() => new()
    {
        { [100, 100, 900, 100, 900, 300, 100, 300], double.NaN, 25, "scale-outline-unusable" },
        { [100, 100, 900, 100, 900, 300, 100, 300], 0, 25, "scale-outline-unusable" },
        { [100, 100, 900, 100, 900, 300, 100, 300], 100, -25, "scale-outline-unusable" },
        { [100, 100, 900, 100, 900, 300, 100, 300], 100_000, 25, "scale-outline-unusable" },
        { [100, 100, 900, 100, 900, double.NaN, 100, 300], 100, 25, "scale-outline-unusable" },
        { [100, 100, 900, 100, 100, 300, 900, 300], 100, 25, "scale-outline-unusable" },
        { [100, 100, 900, 100, 500, 150, 100, 300], 100, 25, "scale-outline-unusable" },
        { [100, 100, 500, 100, 900, 100, 500, 300], 100, 25, "scale-outline-unusable" },
        { [100, 100, 110, 100, 110, 110, 100, 110], 100, 100, "scale-outline-unusable" },
        { [100, 100, 900, 100, 900, 300], 100, 25, "scale-outline-unusable" },
        { [100, 100, 900, 100, 900, 300, 100, 300], 0.5, 0.125, "scale-outline-unusable" },
        { [100, 100, 900, 100, 900, 300, 100, 300], 25, 100, "scale-outline-mismatch" },
    };

    [Theory]
    [MemberData(nameof(Unusable))]
    public void Make_Unusable_Refused(double[] xy, double first, double second, string code)
    {
        var corners = Enumerable.Range(0, xy.Length / 2).Select(i => new PointPx(xy[2 * i], xy[(2 * i) + 1])).ToArray();
        Assert.False(OutlineSizeScaleMaker.Make(corners, first, second).TryGet(out _, out var refusal));
        Assert.Equal((code, "scale", RefusalFate.Unprocessable), (refusal.Code, refusal.Stage, refusal.Fate));
    }

    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
