using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis.Tests;

public class FacePhotoTests
{
    private static readonly SceneRequest Bare = new()
    {
        Seed = 8,
        View = View.Face,
        Difficulty = Difficulty.Easy,
        Megapixels = 0.6,
        Species = "sitka-spruce",
        Plain = true,
        Scale = ScaleProp.None,
        BlurSigmaPx = 0.4,
        NoiseLevels = 0,
        RingsPerInch = 12,
        NarrowFace = false,
        WidthMm = 90,
        ThicknessMm = 30,
        PithDistanceMm = 300,
    };

    [Theory]
    [InlineData(0.0)]
    [InlineData(0.0666667)]
    [InlineData(-0.0666667)]
    [InlineData(0.025)]
    public void Slope_EdgeGrain_IsTruthAndIsInThePixels(double slope)
    {
        // 1:15 is 0.066667 (FAA AC 43.13-1B table 1-1). Positive: from side 1-2 (top) towards side 3-4 going right.
        var photo = Synthesiser.Make(Bare with { RingAngleDeg = 90, Slope = slope });
        var truth = photo.Truth.Grain!;
        Assert.True(truth.NearRadial);
        Assert.InRange(truth.Slope, slope - 0.001, slope + 0.001);
        Assert.InRange(truth.RingLineSlope, slope - 0.001, slope + 0.001);
        var corner = photo.Truth.Outline;
        Assert.True(corner[0].X < corner[1].X && corner[0].Y < corner[3].Y);
        var probe = new PhotoProbe(photo);
        var seen = Math.Tan(probe.LineDirectionRad(photo.Width * 0.3, photo.Width * 0.7, photo.Height * 0.4, photo.Height * 0.6));
        Assert.InRange(seen, slope - 0.004, slope + 0.004);
    }

    [Fact]
    public void Slope_SpiralOnFlatGrain_DoesNotShowInTheRingLines()
    {
        // ANC-19 2.3206, TM 1-414, Record 1914: cathedral figure says nothing of spiral grain.
        var truth = GroundTruth.Tell(SceneBuilder.Build(Bare with { RingAngleDeg = 0, SpiralDeg = 5, WidthMm = 60 })).Grain!;
        Assert.False(truth.EdgeGrain);
        Assert.InRange(Math.Abs(truth.Slope), Math.Tan(Units.DegToRad(4.6)), Math.Tan(Units.DegToRad(5.2)));
        Assert.InRange(truth.RingLineSlope, -0.002, 0.002);
        Assert.InRange(truth.AdjacentSlope, -0.01, 0.01);
    }

    [Fact]
    public void Streaks_SpiralOnFlatGrain_FollowTheFibresInThePixels()
    {
        var photo = Synthesiser.Make(Bare with { RingAngleDeg = 0, SpiralDeg = 6, WidthMm = 60, RingsPerInch = 4, Megapixels = 1.5 });
        var probe = new PhotoProbe(photo);
        // Between ring lines: rows chosen where the picture changes least down the page.
        double x0 = photo.Width * 0.35, x1 = photo.Width * 0.65;
        var best = Enumerable.Range(0, 12).Select(i => photo.Height * (0.32 + (0.03 * i)))
            .MinBy(y => Enumerable.Range(0, 20).Average(k => Math.Abs(probe.At(x0 + (k * (x1 - x0) / 20), y - 15) - probe.At(x0 + (k * (x1 - x0) / 20), y + 15))));
        var seen = Math.Tan(probe.LineDirectionRad(x0, x1, best - 15, best + 15));
        Assert.InRange(seen, photo.Truth.Grain!.Slope - 0.03, photo.Truth.Grain.Slope + 0.03);
    }

    [Fact]
    public void CombinedSlope_AnyPiece_IsTheTangentBetweenFibreAndAxis()
    {
        // standards.md 2: for a fibre (1, sx, sy) two perpendicular faces show sx and sy; the true slope is the root of both squared.
        for (var seed = 1; seed <= 6; seed++)
        {
            var scene = SceneBuilder.Build(Bare with { Seed = seed, Plain = false, SpiralDeg = 3, PithDistanceMm = null });
            var truth = GroundTruth.Tell(scene).Grain!;
            var fibre = scene.Log.FibreDirectionAt(scene.Surface.Origin);
            var along = fibre.Dot(scene.Surface.Axis1);
            var tangent = Math.Sqrt(1 - (along * along)) / Math.Abs(along);
            Assert.InRange(truth.CombinedSlope, tangent - 0.02, tangent + 0.02);
        }
    }

    [Fact]
    public void Knot_OnAFace_IsDarkWhereTheTruthSaysAndRingsAreLeftAlone()
    {
        var photo = Synthesiser.Make(Bare with { Seed = 21, RingAngleDeg = 10, Blemishes = [BlemishKind.Knot] });
        var knot = Assert.Single(photo.Truth.Blemishes);
        var probe = new PhotoProbe(photo);
        var inside = Enumerable.Range(0, 24).Average(i => probe.At(Between(knot.Centre, knot.Outline[i * knot.Outline.Count / 24], 0.7)));
        var outside = Enumerable.Range(0, 24).Average(i => probe.At(Between(knot.Centre, knot.Outline[i * knot.Outline.Count / 24], 2.2)));
        Assert.True(inside < 0.8 * outside, $"{inside} inside, {outside} outside");
        // ANC-19 2.301: size across the face, diameter the least width; the least width is never the larger.
        Assert.True(knot.DiameterMm <= knot.SizeMm + 1e-9);
        Assert.Equal(knot.WidthMm, knot.SizeMm);
        var perMm = photo.Truth.Scale.PixelsPerMm;
        Assert.InRange((knot.Outline.Max(p => p.X) - knot.Outline.Min(p => p.X)) / perMm, knot.LengthMm * 0.95, knot.LengthMm * 1.05);
    }

    [Fact]
    public void Blemishes_NoneAskedFor_NoneInTruth()
    {
        Assert.Empty(GroundTruth.Tell(SceneBuilder.Build(Bare with { Blemishes = [] })).Blemishes);
    }

    [Theory]
    [InlineData(BlemishKind.LooseKnot)]
    [InlineData(BlemishKind.PinKnotCluster)]
    [InlineData(BlemishKind.PitchPocket)]
    [InlineData(BlemishKind.BoreHole)]
    [InlineData(BlemishKind.DentOrGouge)]
    [InlineData(BlemishKind.Stain)]
    [InlineData(BlemishKind.Check)]
    public void Blemish_AskedFor_ChangesThePixelsInsideItsOutlineOnly(BlemishKind kind)
    {
        var ask = Bare with { Seed = 33, RingAngleDeg = 15, Megapixels = 1 };
        var clear = Synthesiser.Make(ask with { Blemishes = [] });
        var marked = Synthesiser.Make(ask with { Blemishes = [kind] });
        var blemish = Assert.Single(marked.Truth.Blemishes);
        Assert.Equal(kind, blemish.Kind);
        double left = blemish.Outline.Min(p => p.X), right = blemish.Outline.Max(p => p.X), top = blemish.Outline.Min(p => p.Y), bottom = blemish.Outline.Max(p => p.Y);
        double inside = 0, far = 0;
        // Grain flows round a knot to about five of its radii.
        var reach = 6 * Math.Max(right - left, bottom - top) + 10;
        for (var y = 0; y < marked.Height; y++)
        {
            for (var x = 0; x < marked.Width; x++)
            {
                var change = Math.Abs(marked.Bgr[((y * marked.Width) + x) * 3] - clear.Bgr[((y * marked.Width) + x) * 3]);
                if (x >= left && x <= right && y >= top && y <= bottom)
                    inside = Math.Max(inside, change);
                else if (x < left - reach || x > right + reach || y < top - reach || y > bottom + reach)
                    far = Math.Max(far, change);
            }
        }

        Assert.True(inside > 12, $"changed by {inside} levels");
        Assert.True(far <= 3, $"changed by {far} levels far away");
    }

    private static PointPx Between(PointPx a, PointPx b, double t) => a + ((b - a) * t);
}
