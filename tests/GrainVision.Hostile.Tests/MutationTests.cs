using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;
using SixLabors.ImageSharp;
using SixLabors.ImageSharp.Formats;
using SixLabors.ImageSharp.Formats.Bmp;
using SixLabors.ImageSharp.Formats.Jpeg;
using SixLabors.ImageSharp.Formats.Png;
using SixLabors.ImageSharp.Formats.Tiff;
using SixLabors.ImageSharp.Formats.Webp;
using SixLabors.ImageSharp.PixelFormats;
using Xunit.Abstractions;

namespace GrainVision.Hostile.Tests;

/// <summary>Good files with a few bytes changed at random, always the same ones: never an exception, never a hang, never a 500.</summary>
public class MutationTests(HostileService service, ITestOutputHelper output) : IClassFixture<HostileService>
{
    /// <summary>Variants of each format that go through HTTP.</summary>
    private const int Posted = 25;

    /// <summary>Variants of each format tried in the decoder alone; more for a long hunt (20,000 take about a minute a format).</summary>
    private static readonly int Variants = int.TryParse(Environment.GetEnvironmentVariable("GRAINVISION_FUZZ_VARIANTS"), out var many) ? many : 1500;

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(10);

    public static TheoryData<string> Formats => new(["jpeg", "png", "webp lossy", "webp lossless", "tiff", "tiff lzw", "bmp"]);

    [Theory]
    [MemberData(nameof(Formats))]
    public async Task Intake_BytesChangedAtRandom_NeverThrowsNorHangs(string format)
    {
        var good = Good(format);
        var random = new Random(20260704);
        var decoded = 0;
        for (var i = 0; i < Variants; i++)
        {
            var file = Mutate(good, random);
            var job = Task.Run(() => PhotoIntake.Decode(file, IntakeLimits.Default, CancellationToken.None));
            Assert.True(await Task.WhenAny(job, Task.Delay(Patience)) == job, $"{format}, variant {i} hangs");
            var outcome = await job;
            Assert.True(outcome.Refusal is null or { OurFault: false }, $"{format}, variant {i}: {outcome.Refusal?.Code}");
            decoded += outcome.Found is null ? 0 : 1;
            outcome.Found?.Dispose();
        }

        output.WriteLine($"{format}: {decoded} of {Variants} still decode");
        Assert.True(decoded < Variants);
    }

    [Theory]
    [MemberData(nameof(Formats))]
    public async Task Service_BytesChangedAtRandom_GivesAProperAnswer(string format)
    {
        using var client = service.CreateClient();
        var good = Good(format);
        var random = new Random(7);
        for (var i = 0; i < Posted; i++)
            await HostileService.Post(client, $"{format}, variant {i}", Mutate(good, random));
    }

    [Fact]
    public async Task Service_RequestChangedAtRandom_GivesAProperAnswer()
    {
        using var client = service.CreateClient();
        var photo = Good("jpeg");
        var random = new Random(11);
        const string good = """{"view":"end","species":"sitka-spruce","outline":[[0,0],[150,0],[150,100],[0,100]],"scale":{"kind":"points","a":[1,2],"b":[100,2],"distanceMm":50},"ruleBook":"spar"}""";
        const string alphabet = "{}[]\":,.-+0123456789eE \\untrlfas\u0000é";
        for (var i = 0; i < 300; i++)
        {
            var text = good.ToCharArray();
            for (var k = random.Next(1, 6); k > 0; k--)
                text[random.Next(text.Length)] = alphabet[random.Next(alphabet.Length)];
            await HostileService.Post(client, $"request {i}: {new string(text)}", photo, new string(text));
        }
    }

    private static byte[] Mutate(byte[] good, Random random)
    {
        var file = (byte[])good.Clone();
        // Headers decide most: every second change falls into the first 200 bytes.
        for (var k = random.Next(1, 9); k > 0; k--)
            file[random.Next(k % 2 == 0 ? file.Length : Math.Min(200, file.Length))] = (byte)random.Next(256);
        if (random.Next(4) != 0)
            Bombs.RepairPngChecksums(file); // else the checksums would keep every change away from the decoder
        return file;
    }

    private static byte[] Good(string format)
    {
        using var image = new Image<Rgb24>(160, 110);
        for (var y = 0; y < image.Height; y++)
        {
            for (var x = 0; x < image.Width; x++)
                image[x, y] = new Rgb24((byte)(200 - (x % 12 * 8)), (byte)(170 - (x % 12 * 7)), (byte)((x * y) & 0x7F));
        }

        IImageEncoder encoder = format switch
        {
            "jpeg" => new JpegEncoder(),
            "png" => new PngEncoder(),
            "webp lossy" => new WebpEncoder { FileFormat = WebpFileFormatType.Lossy },
            "webp lossless" => new WebpEncoder { FileFormat = WebpFileFormatType.Lossless },
            "tiff" => new TiffEncoder(),
            "tiff lzw" => new TiffEncoder { Compression = SixLabors.ImageSharp.Formats.Tiff.Constants.TiffCompression.Lzw },
            _ => new BmpEncoder(),
        };
        using var stream = new MemoryStream();
        image.Save(stream, encoder);
        return stream.ToArray();
    }
}
