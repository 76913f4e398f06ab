using System.Net;
using System.Security.Cryptography;
using SixLabors.ImageSharp;
using SixLabors.ImageSharp.Metadata.Profiles.Exif;

namespace GrainVision.Service.Tests.Measurements;

/// <summary>Photos are kept as received and served without where somebody was standing.</summary>
public class PhotoTests
{
    private const string Key = "yard-key-0123456789-abcdefgh";

    private const string Inspector = "inspector-key-0123456789-abcd";

    private static readonly Dictionary<string, string> TwoKeys = new()
    {
        ["GrainVision:Guard:ApiKeys:0:Name"] = "yard", ["GrainVision:Guard:ApiKeys:0:Key"] = Key,
        ["GrainVision:Guard:ApiKeys:1:Name"] = "inspector", ["GrainVision:Guard:ApiKeys:1:Key"] = Inspector, ["GrainVision:Guard:ApiKeys:1:MayReadOriginals"] = "true",
    };

    [Fact]
    public async Task Photo_WithPositionData_IsServedWithoutAndKeptWith()
    {
        await using var service = new RunningService(TwoKeys);
        var photo = WithPosition();
        using var yard = service.CreateClient();
        yard.DefaultRequestHeaders.Add("X-Api-Key", Key);
        using var measured = await yard.Measure(photo, Calls.RingsRequest);
        Assert.Equal(HttpStatusCode.OK, measured.StatusCode);
        var sha256 = Convert.ToHexStringLower(SHA256.HashData(photo));

        var served = await yard.GetByteArrayAsync("/v1/photos/" + sha256);
        foreach (var word in (string[])["2026:07:04", "standing", "Exif", "GPS"])
            Assert.Equal(-1, served.AsSpan().IndexOf(System.Text.Encoding.ASCII.GetBytes(word)));
        using var image = Image.Load(served);
        Assert.Equal((680, 417), (image.Width, image.Height));
        Assert.Null(image.Metadata.ExifProfile);
        Assert.Null(image.Metadata.XmpProfile);

        using (var refused = await yard.GetAsync($"/v1/photos/{sha256}?original=true"))
            await refused.IsProblem(403, "originals-not-permitted");
        using var inspector = service.CreateClient();
        inspector.DefaultRequestHeaders.Add("X-Api-Key", Inspector);
        Assert.Equal(photo, await inspector.GetByteArrayAsync($"/v1/photos/{sha256}?original=true"));
    }

    [Fact]
    public async Task Original_WithoutKeys_IsNobodys()
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        using var answer = await client.GetAsync($"/v1/photos/{new string('a', 64)}?original=true");
        await answer.IsProblem(403, "originals-not-permitted");
    }

    [Theory]
    [InlineData("aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa")]
    [InlineData("..%2F..%2Frecords.sqlite")]
    [InlineData("x")]
    public async Task Photo_Unknown_IsNotFound(string sha256)
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        using var answer = await client.GetAsync("/v1/photos/" + sha256);
        await answer.IsProblem(404, "photo-unknown");
    }

    /// <summary>A photo as a phone writes it: EXIF 2.3 position, date and description.</summary>
    private static byte[] WithPosition()
    {
        using var image = Image.Load(Calls.Fixture(Calls.RingsPhoto));
        var exif = new ExifProfile();
        exif.SetValue(ExifTag.GPSLatitudeRef, "N");
        exif.SetValue(ExifTag.GPSLatitude, [new Rational(12, 1), new Rational(34, 1), new Rational(56, 1)]);
        exif.SetValue(ExifTag.GPSDateStamp, "2026:07:04");
        exif.SetValue(ExifTag.ImageDescription, "where I was standing");
        image.Metadata.ExifProfile = exif;
        using var stream = new MemoryStream();
        image.SaveAsJpeg(stream);
        Assert.True(stream.ToArray().AsSpan().IndexOf("2026:07:04"u8) > 0);
        return stream.ToArray();
    }
}
