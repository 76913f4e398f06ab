using System.Diagnostics;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;
using OpenCvSharp;
using Xunit.Abstractions;

namespace GrainVision.Hostile.Tests;

/// <summary>Files of a few KB that ask for gigabytes. What is over the limits is refused for nothing; what is within them stays below 1 GB.</summary>
public class BombTests(HostileService service, ITestOutputHelper output) : IClassFixture<HostileService>
{
    /// <summary>1,000 MB: what one worker may take (design.md 8).</summary>
    private const double WorkerMb = 1_000;

    /// <summary>60 MB: a refusal by the header costs the file itself, its form and the collector's slack.</summary>
    private const double RefusalMb = 60;

    /// <summary>-20 MB: the process may give memory back while it is measured.</summary>
    private const double Noise = -20;

    public static TheoryData<string> Costly => new(["png 64 MP", "png 64 MP, 16 bits, colour", "bmp 64 MP, run length", "tiff 64 MP, one deflated strip"]);

    public static TheoryData<string> OverTheLimits => new(["png 900 MP", "webp 268 MP", "tiff 900 MP", "png 64,000 x 1,000"]);

    [Theory]
    [MemberData(nameof(OverTheLimits))]
    public async Task Bomb_OverTheLimits_IsRefusedByItsHeader(string name)
    {
        var file = Make(name);
        using var client = service.CreateClient();
        var clock = Stopwatch.StartNew();
        var growth = await MemoryMeter.PeakGrowthMb(async () =>
            Assert.Equal((422, "photo-too-many-pixels"), await HostileService.Post(client, name, file)));
        output.WriteLine($"{name}: {file.Length} bytes, {growth:F0} MB, {clock.ElapsedMilliseconds} ms");
        Assert.InRange(growth, Noise, RefusalMb + (3e-6 * file.Length));
    }

    [Theory]
    [MemberData(nameof(Costly))]
    public async Task Bomb_WithinTheLimits_StaysWithinAWorkersMemory(string name)
    {
        var file = Make(name);
        var clock = Stopwatch.StartNew();
        var what = "";
        var growth = await MemoryMeter.PeakGrowthMb(() =>
        {
            var outcome = PhotoIntake.Decode(file, IntakeLimits.Default, CancellationToken.None);
            what = outcome.Refusal?.Code ?? "decoded";
            Assert.True(outcome.Refusal is null or { Fate: RefusalFate.UnsupportedMedia or RefusalFate.Unprocessable }, outcome.Refusal?.Code);
            outcome.Found?.Dispose();
            return Task.CompletedTask;
        });
        output.WriteLine($"{name}: {file.Length} bytes, {what}, {growth:F0} MB, {clock.ElapsedMilliseconds} ms");
        Assert.InRange(growth, Noise, WorkerMb);
        Assert.InRange(clock.Elapsed.TotalSeconds, 0, 30);
    }

    [Fact]
    public async Task Photo_Of64MegapixelsTurned_IsMeasuredWithinAWorkersMemory()
    {
        // The dearest honest photo: baseline JPEG at the pixel limit, stored turned, so that two copies exist for a moment, and every
        // stage has something to do.
        var file = Turned(8_000);
        const string request = """{"view":"end","outline":[[0,0],[7999,0],[7999,7999],[0,7999]],"scale":{"kind":"pitch","pixelsPerMm":60},"ruleBook":"spar"}""";
        using var client = service.CreateClient();
        (int Status, string Code) answer = default;
        var clock = Stopwatch.StartNew();
        var growth = await MemoryMeter.PeakGrowthMb(async () => answer = await HostileService.Post(client, "64 MP", file, request));
        output.WriteLine($"64 MP turned JPEG: {file.Length} bytes, {answer}, {growth:F0} MB, {clock.ElapsedMilliseconds} ms");
        Assert.Equal(200, answer.Status);
        Assert.InRange(growth, Noise, WorkerMb);
    }

    [Fact]
    public void Jpeg_OfVeryManyPasses_IsRefusedByItsHeader()
    {
        using var wood = new Mat(400, 400, MatType.CV_8UC3, new Scalar(120, 160, 200));
        Cv2.ImEncode(".jpg", wood, out var progressive, new ImageEncodingParam(ImwriteFlags.JpegProgressive, 1));
        var file = Bombs.JpegOfManyPasses(progressive, 5_000);
        var refusal = PhotoIntake.Decode(file, IntakeLimits.Default, CancellationToken.None).Refusal;
        Assert.Equal("photo-format-not-supported", refusal?.Code);
        Assert.Contains("passes", refusal!.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Bmp_OfRunLengths_IsRefusedByItsHeader() => // they may skip pixels, and no camera writes them
        Assert.Equal("photo-format-not-supported", PhotoIntake.Decode(Make("bmp 900 MP, run length"), IntakeLimits.Default, CancellationToken.None).Refusal?.Code);

    [Fact]
    public void Png_Interlaced_IsRefusedByItsHeader() => // its decoder never ends where data is missing
        Assert.Equal("photo-format-not-supported", PhotoIntake.Decode(Bombs.Png(200, 200, 8, 0, interlaced: true), IntakeLimits.Default, CancellationToken.None).Refusal?.Code);

    [Fact]
    public async Task Png_WithMoreDataThanPixels_IsNotUnpackedIntoMemory()
    {
        foreach (var file in new[] { Bombs.PngWithTooMuchData(), Bombs.PngWithHugeText() })
        {
            var clock = Stopwatch.StartNew();
            var growth = await MemoryMeter.PeakGrowthMb(() =>
            {
                PhotoIntake.Decode(file, IntakeLimits.Default, CancellationToken.None).Found?.Dispose();
                return Task.CompletedTask;
            });
            output.WriteLine($"{file.Length} bytes, {growth:F0} MB, {clock.ElapsedMilliseconds} ms");
            Assert.InRange(growth, Noise, RefusalMb);
            Assert.InRange(clock.Elapsed.TotalSeconds, 0, 10);
        }
    }

    [Fact]
    public async Task Tiff_OfAMillionStrips_IsRefusedInBoundedMemory()
    {
        var file = Bombs.TiffOfManyStrips();
        var growth = await MemoryMeter.PeakGrowthMb(() =>
        {
            // Its strips are too short for its rows: whatever the decoder would make of them is not the picture.
            Assert.Equal("photo-unreadable", PhotoIntake.Decode(file, IntakeLimits.Default, CancellationToken.None).Refusal?.Code);
            return Task.CompletedTask;
        });
        output.WriteLine($"{file.Length} bytes, {growth:F0} MB");
        Assert.InRange(growth, Noise, RefusalMb);
    }

    private static byte[] Make(string name) => name switch
    {
        "png 64 MP" => Bombs.Png(8_000, 8_000),
        "png 64 MP, 16 bits, colour" => Bombs.Png(8_000, 8_000, 16, 2),
        "bmp 64 MP, run length" => Bombs.BmpRunLength(8_000, 8_000),
        "tiff 64 MP, one deflated strip" => Bombs.TiffDeflated(8_000, 8_000),
        "png 900 MP" => Bombs.Png(30_000, 30_000),
        "png 64,000 x 1,000" => Bombs.Png(64_000, 1_000),
        "webp 268 MP" => Bombs.WebpHuge(),
        "bmp 900 MP, run length" => Bombs.BmpRunLength(30_000, 30_000),
        "tiff 900 MP" => Bombs.TiffDeflated(30_000, 30_000),
        _ => throw new ArgumentOutOfRangeException(nameof(name)),
    };

    /// <summary>Drawn growth rings, in a JPEG whose EXIF block says: turn by 90 degrees.</summary>
    private static byte[] Turned(int side)
    {
        byte[] jpeg;
        using (var wood = new Mat(side, side, MatType.CV_8UC3, new Scalar(120, 160, 200)))
        {
            for (var radius = 100; radius < 2 * side; radius += 160)
                Cv2.Circle(wood, new Point(side / 2, -side / 4), radius, new Scalar(60, 90, 130), 40);
            Cv2.ImEncode(".jpg", wood, out jpeg);
        }

        byte[] exif =
        [
            0xFF, 0xE1, 0, 34, .. "Exif\0\0"u8, .. "MM\0*"u8, 0, 0, 0, 8, 0, 1,
            0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0, 0, 0, 0, 0,
        ];
        return [.. jpeg[..2], .. exif, .. jpeg[2..]];
    }
}
