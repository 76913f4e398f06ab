using GrainVision.Measuring.Intake;
using OpenCvSharp;
using SixLabors.ImageSharp;
using SixLabors.ImageSharp.Formats.Bmp;
using SixLabors.ImageSharp.Formats.Jpeg;
using SixLabors.ImageSharp.Formats.Png;
using SixLabors.ImageSharp.Formats.Tiff;
using SixLabors.ImageSharp.PixelFormats;

namespace GrainVision.Measuring.Tests.Intake;

public class OrientationTests
{
    private const int Wide = 160;
    private const int High = 96;

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    [InlineData(6)]
    [InlineData(7)]
    [InlineData(8)]
    public void Intake_EveryExifOrientation_GivesTheSameUprightPicture(int orientation)
    {
        using var upright = IntakeFiles.Lopsided(Wide, High);
        using var stored = Store(upright, orientation);
        var jpeg = IntakeFiles.Encode(stored, new JpegEncoder { Quality = 100, ColorType = JpegColorType.YCbCrRatio444 }, orientation);

        AssertShows(upright, jpeg, tolerance: 6); // 6 levels: JPEG rounding at quality 100 at the blue square's edge
    }

    [Fact]
    public void Intake_OrientationInPngAndTiff_IsAppliedToo()
    {
        using var upright = IntakeFiles.Lopsided(Wide, High);
        using var stored = Store(upright, 6);

        AssertShows(upright, IntakeFiles.Encode(stored, new PngEncoder(), 6), tolerance: 0);
        AssertShows(upright, IntakeFiles.Encode(stored, new TiffEncoder(), 6), tolerance: 0);
        AssertShows(upright, IntakeFiles.Encode(upright, new BmpEncoder(), 6), tolerance: 0); // BMP has no orientation
    }

    // Photos of one scene by another program, each stored in its own orientation (MIT, Dave Perrett; see fixtures/registry.json).
    // The number in the middle differs, nothing else does.
    [Theory]
    [InlineData(5)]
    [InlineData(6)]
    [InlineData(7)]
    [InlineData(8)]
    public void Intake_RealPhotosOfOneScene_AgreeOnceUpright(int orientation)
    {
        using var reference = Small("Portrait_1.jpg");
        using var turned = Small($"Portrait_{orientation}.jpg");
        using var mirrored = new Mat();
        Cv2.Flip(turned, mirrored, FlipMode.Y);

        Assert.True(MeanDifference(reference, turned) < 2);
        Assert.True(MeanDifference(reference, mirrored) > 8);
    }

    private static Mat Small(string file)
    {
        using var photo = IntakeTests.Found(IntakeFiles.Fixture("hostile/exif_orientation/" + file));
        Assert.Equal((1200, 1800), (photo.Width, photo.Height));
        var small = new Mat();
        Cv2.Resize(photo.Bgr, small, new OpenCvSharp.Size(120, 180), interpolation: InterpolationFlags.Area);
        return small;
    }

    private static double MeanDifference(Mat a, Mat b)
    {
        using var difference = new Mat();
        Cv2.Absdiff(a, b, difference);
        var mean = Cv2.Mean(difference);
        return (mean.Val0 + mean.Val1 + mean.Val2) / 3;
    }

    private static void AssertShows(Image<Rgb24> expected, byte[] file, int tolerance)
    {
        using var photo = IntakeTests.Found(file);
        Assert.Equal((expected.Width, expected.Height), (photo.Width, photo.Height));
        for (var y = 0; y < photo.Height; y++)
        {
            for (var x = 0; x < photo.Width; x++)
            {
                var want = expected[x, y];
                var got = photo.Bgr.At<Vec3b>(y, x);
                Assert.InRange(got.Item2, want.R - tolerance, want.R + tolerance);
                Assert.InRange(got.Item1, want.G - tolerance, want.G + tolerance);
                Assert.InRange(got.Item0, want.B - tolerance * 4, want.B + tolerance * 4);
            }
        }
    }

    /// <summary>
    /// What a camera stores for an upright picture, straight from the words of Exif 2.3, 4.6.4 A (Orientation): which side of the
    /// scene row 0 and column 0 of the stored picture are. Independent of the code under test, which goes the other way.
    /// </summary>
    private static Image<Rgb24> Store(Image<Rgb24> upright, int orientation)
    {
        int w = upright.Width, h = upright.Height;
        var stored = orientation >= 5 ? new Image<Rgb24>(h, w) : new Image<Rgb24>(w, h);
        for (var row = 0; row < stored.Height; row++)
        {
            for (var column = 0; column < stored.Width; column++)
            {
                stored[column, row] = orientation switch
                {
                    1 => upright[column, row], // row 0 top, column 0 left
                    2 => upright[w - 1 - column, row], // top, right
                    3 => upright[w - 1 - column, h - 1 - row], // bottom, right
                    4 => upright[column, h - 1 - row], // bottom, left
                    5 => upright[row, column], // row 0 left, column 0 top
                    6 => upright[w - 1 - row, column], // right, top
                    7 => upright[w - 1 - row, h - 1 - column], // right, bottom
                    _ => upright[row, h - 1 - column], // left, bottom
                };
            }
        }

        return stored;
    }
}
