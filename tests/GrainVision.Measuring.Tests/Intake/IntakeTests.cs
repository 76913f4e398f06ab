using System.Buffers.Binary;
using System.Text;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;
using OpenCvSharp;
using SixLabors.ImageSharp;
using SixLabors.ImageSharp.Formats.Jpeg;
using SixLabors.ImageSharp.Formats.Png;
using SixLabors.ImageSharp.Formats.Tiff;
using SixLabors.ImageSharp.Formats.Webp;
using SixLabors.ImageSharp.PixelFormats;

namespace GrainVision.Measuring.Tests.Intake;

public class IntakeTests
{
    internal static UprightPhoto Found(byte[] file)
    {
        Assert.True(PhotoIntake.Decode(file, IntakeLimits.Default, CancellationToken.None).TryGet(out var photo, out var refusal), refusal?.Message);
        return photo;
    }

    [Fact]
    public void Intake_Jpeg_CarriesTheHashOfTheBytesReceived()
    {
        using var image = IntakeFiles.Lopsided(80, 80);
        var file = IntakeFiles.Encode(image, new JpegEncoder());
        using var photo = Found(file);
        Assert.Equal(Convert.ToHexString(System.Security.Cryptography.SHA256.HashData(file)).ToLowerInvariant(), photo.Sha256);
        Assert.True(photo.Bgr.IsContinuous());
        Assert.Empty(photo.Warnings);
    }

    [Fact]
    public void Intake_NoBytes_IsABadRequest() => AssertRefused([], RefusalFate.BadRequest, "photo-empty");

    [Theory]
    [InlineData("GIF89a, a film")]
    [InlineData("%PDF-1.7 a report")]
    [InlineData("plain text, no photo")]
    [InlineData("x")]
    public void Intake_OtherFormats_AreNotSupported(string content) =>
        AssertRefused(Encoding.Latin1.GetBytes(content), RefusalFate.UnsupportedMedia, "photo-format-not-supported");

    [Fact]
    public void Intake_PhoneHeic_SaysWhatToSet()
    {
        var refusal = AssertRefused(Encoding.Latin1.GetBytes("\0\0\0\u0018ftypheic\0\0\0\0mif1heic"), RefusalFate.UnsupportedMedia, "photo-format-not-supported");
        Assert.Contains("HEIC", refusal.Message, StringComparison.Ordinal);
        Assert.Contains("most compatible", refusal.Advice, StringComparison.Ordinal);
    }

    [Fact]
    public void Intake_TooManyBytes_IsTooLarge() => AssertRefused(new byte[101], RefusalFate.TooLarge, "photo-too-large", IntakeLimits.Default with { MaxBytes = 100 });

    [Fact]
    public void Intake_SmallerThanTheLeastSide_IsRefused()
    {
        using var image = IntakeFiles.Lopsided(200, 63);
        AssertRefused(IntakeFiles.Encode(image, new PngEncoder()), RefusalFate.Unprocessable, "photo-too-small");
    }

    [Fact]
    public void Intake_HeaderClaimsTooManyPixels_IsRefusedBeforeDecoding()
    {
        using var image = IntakeFiles.Lopsided(100, 100);
        var jpeg = IntakeFiles.Encode(image, new JpegEncoder());
        var frame = jpeg.AsSpan().IndexOf((ReadOnlySpan<byte>)[0xFF, 0xC0]);
        BinaryPrimitives.WriteUInt16BigEndian(jpeg.AsSpan(frame + 5), 20_000);
        BinaryPrimitives.WriteUInt16BigEndian(jpeg.AsSpan(frame + 7), 20_000);
        AssertRefused(jpeg, RefusalFate.Unprocessable, "photo-too-many-pixels");

        // Within the limit, but a hundred bytes cannot hold sixteen million pixels.
        BinaryPrimitives.WriteUInt16BigEndian(jpeg.AsSpan(frame + 5), 4_000);
        BinaryPrimitives.WriteUInt16BigEndian(jpeg.AsSpan(frame + 7), 4_000);
        AssertRefused(jpeg, RefusalFate.Unprocessable, "photo-unreadable");
    }

    [Fact]
    public void Intake_ProgressiveJpeg_HasALowerLimit()
    {
        using var grey = new Mat(120, 160, MatType.CV_8UC3, new Scalar(90, 120, 150));
        Cv2.ImEncode(".jpg", grey, out var file, new ImageEncodingParam(ImwriteFlags.JpegProgressive, 1));
        using (var photo = Found(file))
            Assert.Equal((160, 120), (photo.Width, photo.Height));
        var refusal = AssertRefused(file, RefusalFate.Unprocessable, "photo-too-many-pixels", IntakeLimits.Default with { MaxMultiPassPixels = 19_000 });
        Assert.Contains("progressive", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Intake_DecodingBeyondItsMemory_IsRefused()
    {
        using var image = IntakeFiles.Lopsided(500, 500);
        AssertRefused(IntakeFiles.Encode(image, new PngEncoder()), RefusalFate.Unprocessable, "photo-too-costly", IntakeLimits.Default with { MaxDecodingBytes = 500_000 });
    }

    [Fact]
    public void Intake_FileCutAnywhere_NeverPassesForWhole()
    {
        using var image = IntakeFiles.Lopsided(120, 90);
        byte[][] files =
        [
            IntakeFiles.Encode(image, new JpegEncoder()),
            IntakeFiles.Encode(image, new PngEncoder()),
            IntakeFiles.Encode(image, new WebpEncoder { FileFormat = WebpFileFormatType.Lossy }),
            IntakeFiles.Encode(image, new WebpEncoder { FileFormat = WebpFileFormatType.Lossless }),
            IntakeFiles.Encode(image, new SixLabors.ImageSharp.Formats.Bmp.BmpEncoder()),
            IntakeFiles.Encode(image, new TiffEncoder()),
        ];
        foreach (var file in files)
        {
            using (Found(file))
            {
            }

            for (var percent = 1; percent < 100; percent += 7)
            {
                var cut = file[..(file.Length * percent / 100)];
                var outcome = PhotoIntake.Decode(cut, IntakeLimits.Default, CancellationToken.None);
                Assert.NotNull(outcome.Refusal);
                Assert.True(outcome.Refusal.Fate is RefusalFate.UnsupportedMedia or RefusalFate.Unprocessable);
            }
        }
    }

    [Fact]
    public void Intake_PngWithWrongPixelChecksum_IsDamaged()
    {
        using var image = IntakeFiles.Lopsided(120, 90);
        var png = IntakeFiles.Encode(image, new PngEncoder());
        var data = png.AsSpan().IndexOf("IDAT"u8);
        png[data + 60] ^= 0x10;
        AssertRefused(png, RefusalFate.Unprocessable, "photo-unreadable");
    }

    [Fact]
    public void Intake_SixteenBitPng_KeepsItsUpperByte()
    {
        using var image = new Image<Rgb48>(64, 64, new Rgb48(0x8000, 0x40FF, 0xFFFF));
        var file = IntakeFiles.Encode(image, new PngEncoder { BitDepth = PngBitDepth.Bit16, ColorType = PngColorType.Rgb });
        using var photo = Found(file);
        var got = photo.Bgr.At<Vec3b>(10, 10);
        Assert.InRange(got.Item2, 0x7F, 0x80);
        Assert.InRange(got.Item1, 0x40, 0x41);
        Assert.Equal(0xFF, got.Item0);
    }

    [Fact]
    public void Intake_TransparentParts_BecomeWhite()
    {
        using var image = new Image<Rgba32>(64, 64, new Rgba32(200, 100, 0, 128));
        using var photo = Found(IntakeFiles.Encode(image, new PngEncoder { ColorType = PngColorType.RgbWithAlpha }));
        var got = photo.Bgr.At<Vec3b>(0, 0);
        // Worked by hand: 200 * 128/255 + 255 * 127/255 = 227.4, and so on.
        Assert.Equal((127, 177, 227), (got.Item0, got.Item1, got.Item2));
    }

    // Patches written as CMYK by ImageMagick (fixtures/registry.json). Expected: R = 255 (1 - C)(1 - K) and so on, the plain
    // conversion without a colour profile.
    [Theory]
    [InlineData(40, 200, 30, 20)]
    [InlineData(120, 30, 160, 60)]
    [InlineData(200, 230, 230, 230)]
    [InlineData(280, 20, 40, 90)]
    public void Intake_CmykJpeg_GivesThePatchesTheirColours(int x, int red, int green, int blue)
    {
        using var photo = Found(IntakeFiles.Fixture("hostile/made/cmyk-patches.jpg"));
        var got = photo.Bgr.At<Vec3b>(40, x);
        Assert.InRange(got.Item2, red - 4, red + 4); // 4 levels: JPEG rounding of four channels
        Assert.InRange(got.Item1, green - 4, green + 4);
        Assert.InRange(got.Item0, blue - 4, blue + 4);
    }

    [Fact]
    public void Intake_SeveralFrames_UsesTheFirstAndSaysSo()
    {
        using var image = new Image<Rgb24>(64, 64, new Rgb24(10, 20, 30));
        using var second = new Image<Rgb24>(64, 64, new Rgb24(200, 200, 200));
        image.Frames.AddFrame(second.Frames.RootFrame);
        using var photo = Found(IntakeFiles.Encode(image, new TiffEncoder()));
        var got = photo.Bgr.At<Vec3b>(5, 5);
        Assert.Equal((30, 20, 10), (got.Item0, got.Item1, got.Item2));
        Assert.Equal(WarningCode.OnlyFirstPictureUsed, Assert.Single(photo.Warnings).Code);
    }

    [Fact]
    public void Intake_CancelledBefore_Throws()
    {
        using var image = IntakeFiles.Lopsided(80, 80);
        var file = IntakeFiles.Encode(image, new JpegEncoder());
        Assert.ThrowsAny<OperationCanceledException>(() => PhotoIntake.Decode(file, IntakeLimits.Default, new CancellationToken(canceled: true)));
    }

    private static Refusal AssertRefused(byte[] file, RefusalFate fate, string code, IntakeLimits? limits = null)
    {
        var refusal = PhotoIntake.Decode(file, limits ?? IntakeLimits.Default, CancellationToken.None).Refusal;
        Assert.NotNull(refusal);
        Assert.Equal((fate, code, "intake"), (refusal.Fate, refusal.Code, refusal.Stage));
        Assert.NotEmpty(refusal.Advice);
        return refusal;
    }
}
