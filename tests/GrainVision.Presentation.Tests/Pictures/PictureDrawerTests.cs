using System.Security.Cryptography;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;
using GrainVision.Measuring.Intake;
using GrainVision.Presentation.Pictures;
using OpenCvSharp;
using SixLabors.ImageSharp;
using SixLabors.ImageSharp.PixelFormats;
using Image = SixLabors.ImageSharp.Image;
using Point = OpenCvSharp.Point;

namespace GrainVision.Presentation.Tests.Pictures;

/// <summary>The files are read back with ImageSharp, which had no part in making them.</summary>
public class PictureDrawerTests
{
    public static TheoryData<string> Names => [.. Samples.Names];

    [Theory]
    [MemberData(nameof(Names))]
    public void Draw_EveryKindTwice_SameReadableJpegWithoutMetadata(string name)
    {
        var (photo, m) = Samples.Make(name);
        using (photo)
        {
            var before = Hash(photo.Bgr);
            var first = PictureDrawer.Draw(photo.Pixels, m, Samples.Work, CancellationToken.None);
            var second = PictureDrawer.Draw(photo.Pixels, m, Samples.Work, CancellationToken.None);

            Assert.Equal(first.Bytes, second.Bytes);
            Assert.Equal(first.AltText, second.AltText);
            Assert.Equal(before, Hash(photo.Bgr));
            Assert.Equal("image/jpeg", first.ContentType);
            using var read = Image.Load<Rgb24>(first.Bytes, out var format);
            Assert.Equal("JPEG", format.Name);
            Assert.Equal((first.Width, first.Height), (read.Width, read.Height));
            // Widest and narrowest canvas; issue 14 item 7: at most 1.6 times as high as the photo in it.
            Assert.InRange(first.Width, 1080, 2000);
            var frames = FramesOf(photo, m);
            var photoHigh = frames.Max(f => f.PhotoArea.Bottom) - frames.Min(f => f.PhotoArea.Top);
            Assert.True(first.Height <= 1.6 * photoHigh, $"{first.Height} px high round a photo of {photoHigh} px");
            Assert.Null(read.Metadata.ExifProfile);
            Assert.Null(read.Metadata.XmpProfile);
            Assert.EndsWith(VerdictCautions.Short, first.AltText, StringComparison.Ordinal);
            Assert.DoesNotContain(first.AltText, c => char.IsControl(c) || c is '\u202E');
            Keep(name, photo, m);
        }
    }

    [Fact]
    public void Draw_AskedForPng_ReadablePng()
    {
        var (photo, m) = Samples.Make("tiny");
        using (photo)
        {
            var drawn = PictureDrawer.Draw(photo.Pixels, m, Samples.Work, CancellationToken.None, PictureFormat.Png);
            using var read = Image.Load<Rgb24>(drawn.Bytes, out var format);
            Assert.Equal(("image/png", "PNG"), (drawn.ContentType, format.Name));
            Assert.Equal((drawn.Width, drawn.Height), (read.Width, read.Height));
        }
    }

    [Fact]
    public void Draw_Cancelled_Throws()
    {
        var (photo, m) = Samples.Make("tiny");
        using (photo)
            Assert.Throws<OperationCanceledException>(() => PictureDrawer.Draw(photo.Pixels, m, Samples.Work, new CancellationToken(canceled: true)));
    }

    [Fact]
    public void Draw_Boundaries_ChangePixelsAtEachBoundaryAndNowhereElse()
    {
        var (photo, with) = Samples.Make("end-accept");
        using (photo)
        {
            var without = with with { Rings = with.Rings! with { Boundaries = [] } };
            using var marked = Png(photo, with);
            using var bare = Png(photo, without);
            Assert.Equal((bare.Width, bare.Height), (marked.Width, marked.Height));
            var frame = FrameOf(photo, with);
            var at = with.Rings!.Boundaries.Select(frame.Map).ToArray();
            // Farthest that a mark may reach: a tenth's number, about two label heights across the path.
            var reach = frame.Style.LabelPx * 2.4f;
            var hit = new bool[at.Length];
            for (var y = 0; y < marked.Height; y++)
            {
                for (var x = 0; x < marked.Width; x++)
                {
                    if (marked[x, y] == bare[x, y])
                        continue;
                    Assert.Contains(at, p => Math.Abs(p.X - x) < reach && Math.Abs(p.Y - y) < reach);
                    for (var i = 0; i < at.Length; i++)
                        hit[i] |= Math.Abs(at[i].X - x) < 3 && Math.Abs(at[i].Y - y) < frame.Style.LabelPx * 0.3f;
                }
            }

            Assert.DoesNotContain(false, hit);
        }
    }

    [Fact]
    public void Draw_LinesFarOutsideThePhoto_LeaveBannerAlone()
    {
        var (photo, wild) = Samples.Make("hostile-numbers");
        using (photo)
        {
            var tame = wild with { Rings = null, RingAngle = null, Grain = null, Blemishes = [], Scale = new ScaleFinding(ScaleKind.Pitch, DrawnWood.PixelsPerMm) };
            using var one = Png(photo, wild);
            using var other = Png(photo, tame);
            var banner = (int)FrameOf(photo, wild).Stage.Top;
            Assert.True(banner > 60);
            for (var y = 0; y < banner; y++)
            {
                for (var x = 0; x < one.Width; x++)
                    Assert.Equal(other[x, y], one[x, y]);
            }
        }
    }

    [Theory]
    [InlineData(4000, 3000, 3711, 2200)]
    [InlineData(200, 100, 150, 62)]
    [InlineData(10000, 400, 7777, 211)]
    [InlineData(300, 5000, 111, 4242)]
    public void Map_SpotInThePhoto_LiesWhereTheFrameSays(int width, int height, int spotX, int spotY)
    {
        using var photo = new UprightPhoto(new Mat(height, width, MatType.CV_8UC3, Scalar.All(60)), "", []);
        var half = Math.Max(2, width / 150);
        Cv2.Rectangle(photo.Bgr, new Point(spotX - half, spotY - half), new Point(spotX + half, spotY + half), new Scalar(0, 255, 0), -1);
        var m = DrawnWood.Bare(View.End, width, height, []);
        using var drawn = Png(photo, m);
        var (sumX, sumY, n) = (0.0, 0.0, 0);
        for (var y = 0; y < drawn.Height; y++)
        {
            for (var x = 0; x < drawn.Width; x++)
            {
                if (drawn[x, y] is not { R: < 40, G: > 140, B: < 40 })
                    continue;
                // A pixel's middle is half a pixel from its corner, where Skia counts from.
                (sumX, sumY, n) = (sumX + x + 0.5, sumY + y + 0.5, n + 1);
            }
        }

        var expected = FramesOf(photo, m).Select(f => (Frame: f, At: f.Map(new PointPx(spotX, spotY)))).Single(f => f.Frame.Shows(f.At) && f.Frame.PhotoArea.Contains(f.At)).At;
        Assert.True(n > 0);
        Assert.InRange(sumX / n, expected.X - 0.6, expected.X + 0.6);
        Assert.InRange(sumY / n, expected.Y - 0.6, expected.Y + 0.6);
    }

    /// <summary>Rings lie across the line to the pith, so their tangent leans the other way when the pith moves to the other side. Plane geometry.</summary>
    [Theory]
    [InlineData(-1400, 2000, -1)]
    [InlineData(-1400, -900, 1)]
    [InlineData(3400, 2000, 1)]
    [InlineData(3400, -900, -1)]
    public void Draw_PithToOneSide_TangentLeansAcrossIt(double pithX, double pithY, int leanOfTop)
    {
        var outline = DrawnWood.Box(200, 300, 1500, 500);
        using var photo = new UprightPhoto(new Mat(1300, 2000, MatType.CV_8UC3, Scalar.All(128)), "", []);
        var towards = new PointPx(pithX - 950, pithY - 550);
        var degrees = 90 - (Math.Atan2(Math.Abs(towards.Y), Math.Abs(towards.X)) * 180 / Math.PI);
        var m = DrawnWood.Bare(View.End, 2000, 1300, outline) with
        {
            RingAngle = new RingAngleFinding(new Measured(degrees, degrees - 1, degrees + 1), 40, 90, Cut.QuarterSawn, new PithFinding(pithX, pithY, new Measured(200, 190, 210))),
        };
        using var drawn = Png(photo, m);
        var frame = FrameOf(photo, m);
        var middle = frame.Map(new PointPx(950, 550));
        // Below the middle, away from the arc and the labels, only the tangent is pink.
        var low = TangentPixels(drawn, frame, outline, below: true).ToArray();
        Assert.NotEmpty(low);
        var meanX = low.Average(p => p.X) - middle.X;
        Assert.True(Math.Sign(meanX) == -leanOfTop, $"lower half of the tangent lies {meanX} px to the right");
        var drawnDegrees = Math.Atan2(low.Average(p => p.Y) - middle.Y, Math.Abs(meanX)) * 180 / Math.PI;
        Assert.InRange(drawnDegrees, degrees - 2, degrees + 2);
    }

    [Fact]
    public void Draw_AngleWithoutPathOrPith_NoTangentIsGuessed()
    {
        var outline = DrawnWood.Box(200, 300, 1500, 500);
        using var photo = new UprightPhoto(new Mat(1300, 2000, MatType.CV_8UC3, Scalar.All(128)), "", []);
        var m = DrawnWood.Bare(View.End, 2000, 1300, outline) with { RingAngle = new RingAngleFinding(new Measured(70, 68, 72), 60, 80, Cut.QuarterSawn, null) };
        using var drawn = Png(photo, m);
        Assert.Empty(TangentPixels(drawn, FrameOf(photo, m), outline, below: true));
        Assert.Empty(TangentPixels(drawn, FrameOf(photo, m), outline, below: false));
    }

    [Fact]
    public void Draw_Blemish_ItsInsideStaysAsPhotographed()
    {
        var (photo, m) = Samples.Make("face-reject");
        using (photo)
        {
            using var drawn = Png(photo, m);
            var frame = FrameOf(photo, m);
            var knot = m.Blemishes[0];
            var centre = frame.Map(knot.Centre);
            // The photo's knot is painted 52 x 40 px in one colour, the rim lies 4 px outside it: within four fifths nothing may be drawn over it.
            for (var i = 0; i < 360; i += 5)
            {
                foreach (var share in new[] { 0.0, 0.4, 0.8 })
                {
                    var (x, y) = (centre.X + (share * 52 * frame.Magnification * Math.Cos(i)), centre.Y + (share * 40 * frame.Magnification * Math.Sin(i)));
                    Assert.Equal(new Rgb24(90, 60, 40), drawn[(int)x, (int)y]);
                }
            }

            var rim = frame.Map(knot.Outline[0]);
            Assert.NotEqual(new Rgb24(90, 60, 40), drawn[(int)rim.X + 3, (int)rim.Y]);
        }
    }

    private static IEnumerable<(int X, int Y)> TangentPixels(Image<Rgb24> drawn, PictureFrame frame, PointPx[] outline, bool below)
    {
        var (from, to, middle) = (frame.Map(outline[0]), frame.Map(outline[2]), frame.Map(new PointPx(950, 550)));
        for (var y = (int)(below ? middle.Y + 20 : from.Y + 20); y < (below ? to.Y - 20 : middle.Y - 20); y++)
        {
            for (var x = (int)from.X + 20; x < to.X - 20; x++)
            {
                var p = drawn[x, y];
                if (Math.Abs(p.R - PictureStyle.Tangent.Red) < 12 && Math.Abs(p.G - PictureStyle.Tangent.Green) < 12 && Math.Abs(p.B - PictureStyle.Tangent.Blue) < 12)
                    yield return (x, y);
            }
        }
    }

    private static Image<Rgb24> Png(UprightPhoto photo, Measurement m) =>
        Image.Load<Rgb24>(PictureDrawer.Draw(photo.Pixels, m, Samples.Work, CancellationToken.None, PictureFormat.Png).Bytes);

    private static IReadOnlyList<PictureFrame> FramesOf(UprightPhoto photo, Measurement m) => new PictureLayout(photo.Width, photo.Height, m).Frames;

    private static PictureFrame FrameOf(UprightPhoto photo, Measurement m) => Assert.Single(FramesOf(photo, m));

    private static string Hash(Mat mat) => Convert.ToHexString(SHA256.HashData(mat.AsSpan<byte>()));

    /// <summary>Where GRAINVISION_PICTURE_LOOK names a folder, the pictures are kept there for a person to look at.</summary>
    private static void Keep(string name, UprightPhoto photo, Measurement m)
    {
        if (Environment.GetEnvironmentVariable("GRAINVISION_PICTURE_LOOK") is not { Length: > 0 } folder)
            return;
        var drawn = PictureDrawer.Draw(photo.Pixels, m, Samples.Work, CancellationToken.None, PictureFormat.Png);
        File.WriteAllBytes(Path.Combine(folder, name + ".png"), drawn.Bytes);
        File.WriteAllText(Path.Combine(folder, name + ".txt"), drawn.AltText);
    }
}
