using System.Net;
using System.Text.Json;

namespace GrainVision.Service.Tests.Measurements;

/// <summary>A success, held against the contract word for word (design.md 5).</summary>
public class MeasurementTests(RunningService service) : IClassFixture<RunningService>
{
    private readonly HttpClient _client = service.CreateClient();

    [Fact]
    public async Task Measure_End_HasTheContractsShape()
    {
        using var answer = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal("application/json", answer.Content.Headers.ContentType?.MediaType);
        var m = await answer.Json();

        Assert.Equal("/v1/measurements/" + m.GetProperty("id").GetString(), answer.Headers.Location?.ToString());
        Assert.Equal("end", m.GetProperty("view").GetString());
        Assert.Equal((680, 417), (m.GetProperty("photo").GetProperty("width").GetInt32(), m.GetProperty("photo").GetProperty("height").GetInt32()));
        Assert.Equal(64, m.GetProperty("photo").GetProperty("sha256").GetString()!.Length);
        Assert.NotEmpty(m.GetProperty("pipelineVersion").GetString()!);
        Assert.Equal("pitch", m.GetProperty("scale").GetProperty("kind").GetString());
        IsMeasured(m.GetProperty("scale").GetProperty("pixelsPerMm"));
        ArePoints(m.GetProperty("outline"), 4);

        var rings = m.GetProperty("rings");
        Assert.True(rings.GetProperty("count").GetInt32() > 0);
        foreach (var name in new[] { "perInch", "worstInch", "meanWidthMm", "latewoodShare" })
            IsMeasured(rings.GetProperty(name));
        ArePoints(rings.GetProperty("path"));
        ArePoints(rings.GetProperty("boundaries"), rings.GetProperty("count").GetInt32() + 1);

        var angle = m.GetProperty("ringAngle");
        IsMeasured(angle.GetProperty("degrees"));
        Assert.InRange(angle.GetProperty("least").GetDouble(), 0, angle.GetProperty("greatest").GetDouble());
        Assert.Contains(angle.GetProperty("cut").GetString(), new[] { "quarter-sawn", "rift-sawn", "flat-sawn" });

        HasCommonMembers(m);
    }

    [Fact]
    public async Task Measure_Face_HasTheContractsShape()
    {
        using var answer = await _client.Measure(Calls.Fixture(Calls.FacePhoto), Calls.FaceRequest);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        var m = await answer.Json();
        Assert.Equal("face", m.GetProperty("view").GetString());
        Assert.False(m.TryGetProperty("rings", out _));
        if (m.TryGetProperty("grain", out var grain))
        {
            IsMeasured(grain.GetProperty("slope"));
            IsMeasured(grain.GetProperty("worstWindow"));
            Assert.Equal(JsonValueKind.Object, grain.GetProperty("oneIn").ValueKind);
            Assert.Contains(grain.GetProperty("basis").GetString(), new[] { "ringLines", "fibreStreaks" });
            foreach (var trace in grain.GetProperty("traces").EnumerateArray())
                ArePoints(trace);
        }
        else
        {
            Assert.Contains(m.GetProperty("cannotSay").EnumerateArray(), c => c.GetProperty("what").GetString() == "grain");
        }

        HasCommonMembers(m);
    }

    [Fact]
    public async Task Measure_RequestAsJsonPart_IsTakenToo()
    {
        using var form = Calls.Form(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest, asJsonPart: true);
        using var answer = await _client.PostAsync("/v1/measurements", form);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
    }

    [Fact]
    public async Task Measure_UnknownMembers_AreWarnedOf()
    {
        var request = Calls.RingsRequest.Replace("\"view\"", "\"colour\":1,\"view\"", StringComparison.Ordinal).Replace("\"kind\"", "\"hint\":2,\"kind\"", StringComparison.Ordinal);
        using var answer = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), request);
        var ignored = (await answer.Json()).GetProperty("warnings").EnumerateArray().Where(w => w.GetProperty("code").GetString() == "member-ignored").Select(w => w.GetProperty("member").GetString()).ToList();
        Assert.Contains("colour", ignored);
        Assert.Contains("scale.hint", ignored);
    }

    [Fact]
    public async Task Measurement_ReadAgain_IsByteForByteTheAnswer()
    {
        using var answer = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        using var again = await _client.GetAsync(answer.Headers.Location);
        Assert.Equal(await answer.Content.ReadAsByteArrayAsync(), await again.Content.ReadAsByteArrayAsync());
    }

    [Fact]
    public async Task Picture_IsAPictureThatMayBeCachedForGood()
    {
        using var answer = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        var address = (await answer.Json()).GetProperty("picture").GetString()!;
        using var picture = await _client.GetAsync(address);
        Assert.Equal(HttpStatusCode.OK, picture.StatusCode);
        Assert.Contains(picture.Content.Headers.ContentType?.MediaType, new[] { "image/jpeg", "image/png" });
        Assert.True((await picture.Content.ReadAsByteArrayAsync()).Length > 5_000);
        Assert.Contains("immutable", picture.Headers.CacheControl!.ToString(), StringComparison.Ordinal);

        using var unchanged = new HttpRequestMessage(HttpMethod.Get, address);
        unchanged.Headers.IfNoneMatch.Add(picture.Headers.ETag!);
        using var second = await _client.SendAsync(unchanged);
        Assert.Equal(HttpStatusCode.NotModified, second.StatusCode);
    }

    [Fact]
    public async Task Picture_OfAPhotoWithPositionData_CarriesNone()
    {
        // Position data as a phone writes it; the words below stand in the file only if the block was copied.
        using var image = SixLabors.ImageSharp.Image.Load(Calls.Fixture(Calls.RingsPhoto));
        var exif = new SixLabors.ImageSharp.Metadata.Profiles.Exif.ExifProfile();
        exif.SetValue(SixLabors.ImageSharp.Metadata.Profiles.Exif.ExifTag.GPSDateStamp, "2026:07:04");
        exif.SetValue(SixLabors.ImageSharp.Metadata.Profiles.Exif.ExifTag.ImageDescription, "where I was standing");
        image.Metadata.ExifProfile = exif;
        using var stream = new MemoryStream();
        SixLabors.ImageSharp.ImageExtensions.SaveAsJpeg(image, stream);
        Assert.True(stream.ToArray().AsSpan().IndexOf("2026:07:04"u8) > 0);

        using var answer = await _client.Measure(stream.ToArray(), Calls.RingsRequest);
        var picture = await _client.GetByteArrayAsync((await answer.Json()).GetProperty("picture").GetString());
        Assert.Equal(-1, picture.AsSpan().IndexOf("2026:07:04"u8));
        Assert.Equal(-1, picture.AsSpan().IndexOf("standing"u8));
        Assert.Equal(-1, picture.AsSpan().IndexOf("Exif"u8));
    }

    [Fact]
    public async Task Measure_SamePhotoTwice_GivesTheSameNumbersAndPicture()
    {
        using var first = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        using var second = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        var (a, b) = (await first.Json(), await second.Json());
        Assert.NotEqual(a.GetProperty("id").GetString(), b.GetProperty("id").GetString());
        foreach (var name in new[] { "rings", "ringAngle", "blemishes", "verdict", "scale", "outline", "cannotSay" })
            Assert.Equal(a.GetProperty(name).GetRawText(), b.GetProperty(name).GetRawText());
        Assert.Equal(
            await _client.GetByteArrayAsync(a.GetProperty("picture").GetString()), await _client.GetByteArrayAsync(b.GetProperty("picture").GetString()));
    }

    private static void HasCommonMembers(JsonElement m)
    {
        foreach (var name in new[] { "blemishes", "cannotSay", "warnings" })
            Assert.Equal(JsonValueKind.Array, m.GetProperty(name).ValueKind);
        foreach (var blemish in m.GetProperty("blemishes").EnumerateArray())
        {
            Assert.InRange(blemish.GetProperty("probability").GetDouble(), 0, 1);
            IsMeasured(blemish.GetProperty("sizeMm"));
            IsMeasured(blemish.GetProperty("diameterMm"));
            Assert.Equal(2, blemish.GetProperty("centre").GetArrayLength());
            foreach (var name in new[] { "lengthMm", "widthMm", "edgeDistanceMm" })
                Assert.True(double.IsFinite(blemish.GetProperty(name).GetDouble()));
            ArePoints(blemish.GetProperty("outline"));
        }

        foreach (var gap in m.GetProperty("cannotSay").EnumerateArray())
        {
            foreach (var name in new[] { "what", "why", "handCheck" })
                Assert.NotEmpty(gap.GetProperty(name).GetString()!);
        }

        var verdict = m.GetProperty("verdict");
        Assert.Contains(verdict.GetProperty("outcome").GetString(), new[] { "accept", "hold", "reject" });
        Assert.NotEqual(0, verdict.GetProperty("reasons").GetArrayLength());
        Assert.NotEqual(0, verdict.GetProperty("handChecks").GetArrayLength());
        Assert.NotEqual(0, verdict.GetProperty("cautions").GetArrayLength());
        Assert.All(verdict.GetProperty("reasons").EnumerateArray(), r => Assert.NotEmpty(r.GetProperty("source").GetString()!));
        Assert.StartsWith("/v1/measurements/", m.GetProperty("picture").GetString(), StringComparison.Ordinal);
        Assert.All(m.GetProperty("timingsMs").EnumerateObject(), t => Assert.True(t.Value.GetDouble() >= 0));
    }

    private static void IsMeasured(JsonElement m)
    {
        Assert.InRange(m.GetProperty("value").GetDouble(), m.GetProperty("low").GetDouble(), m.GetProperty("high").GetDouble());
        Assert.Equal(0.95, m.GetProperty("level").GetDouble());
    }

    private static void ArePoints(JsonElement points, int? count = null)
    {
        if (count is { } n)
            Assert.Equal(n, points.GetArrayLength());
        Assert.True(points.GetArrayLength() > 1);
        Assert.All(points.EnumerateArray(), p => Assert.Equal(2, p.GetArrayLength()));
    }
}
