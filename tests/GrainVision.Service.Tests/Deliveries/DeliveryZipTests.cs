using System.Buffers.Binary;
using System.Net;
using System.Text;

namespace GrainVision.Service.Tests.Deliveries;

/// <summary>A service that takes little at a time, so that its limits are soon reached.</summary>
public sealed class NarrowService() : RunningService(new()
{
    ["GrainVision:Deliveries:MostPhotos"] = "5",
    ["GrainVision:Deliveries:MostZipEntries"] = "20",
    ["GrainVision:Deliveries:MostBytes"] = "4000000",
});

/// <summary>Zips of photos, and those that play tricks: refused whole, with nothing kept.</summary>
public class DeliveryZipTests(NarrowService service) : IClassFixture<NarrowService>
{
    private readonly HttpClient _client = service.CreateClient();

    [Fact]
    public async Task Zip_WithManifestAndLeftovers_IsSortedByTheManifest()
    {
        var id = await _client.Enter();
        var zip = DeliveryCalls.Zip(
            ("day1/", []), ("day1/IMG_7.jpg", DeliveryCalls.Face), ("manifest.csv", Encoding.ASCII.GetBytes("file,piece,surface\nIMG_7.jpg,2,face3\nIMG_8.jpg,1,endA\n")),
            ("__MACOSX/._x", [1]), ("day1/Thumbs.db", [1]));
        using var sent = await _client.Send(id, ("all.zip", zip));
        Assert.Equal(HttpStatusCode.Accepted, sent.StatusCode);
        Assert.Contains("IMG_8.jpg", (await sent.Json()).GetProperty("warnings")[0].GetProperty("message").GetString(), StringComparison.Ordinal);
        var job = await _client.Done(sent.Headers.Location!.ToString());
        Assert.Equal((1, 1), (job.GetProperty("counts").GetProperty("photos").GetInt32(), job.GetProperty("counts").GetProperty("measured").GetInt32()));
        var photo = (await _client.Photos(id))["day1/IMG_7.jpg"];
        Assert.Equal(("2", "face3", "manifest"), (photo.Text("place", "pieceNumber"), photo.Text("place", "surface"), photo.Text("sortedBy")));
    }

    [Theory]
    [InlineData("../1-endA.png")]
    [InlineData("a/../../1-endA.png")]
    [InlineData("a\\..\\1-endA.png")]
    [InlineData("/etc/1-endA.png")]
    [InlineData("C:\\1-endA.png")]
    [InlineData("1-endA\n.png")]
    public async Task Zip_NameThatLeavesIt_IsRefused(string name) => await Refused(DeliveryCalls.Zip((name, [1, 2, 3])), 422, "zip-path");

    [Fact]
    public async Task Zip_Nested_IsRefused() => await Refused(DeliveryCalls.Zip(("inner.jpg", DeliveryCalls.Zip(("a.jpg", [1])))), 422, "zip-nested");

    [Fact]
    public async Task Zip_PackedAThousandfold_IsRefused() => await Refused(DeliveryCalls.Zip(("1-endA.bmp", new byte[3_000_000])), 422, "zip-bomb");

    [Fact]
    public async Task Zip_UnpacksToMoreThanTheLimit_IsRefused()
    {
        // Each of them honest enough by itself: a pattern that packs some tenfold.
        var part = new byte[1_500_000];
        new Random(1).NextBytes(part.AsSpan(0, 150_000));
        await Refused(DeliveryCalls.Zip(("1-endA.bmp", part), ("1-endB.bmp", part), ("2-endA.bmp", part)), 413, "upload-too-large");
    }

    [Fact]
    public async Task Zip_TooManyEntries_IsRefused() =>
        await Refused(DeliveryCalls.Zip([.. Enumerable.Range(0, 21).Select(i => ($"d{i}/", Array.Empty<byte>()))]), 422, "zip-too-many-entries");

    [Fact]
    public async Task Zip_TooManyPhotos_IsRefused() =>
        await Refused(DeliveryCalls.Zip([.. Enumerable.Range(0, 6).Select(i => ($"{i}.jpg", new byte[] { 1, (byte)i }))]), 413, "too-many-photos");

    [Fact]
    public async Task Zip_Encrypted_IsRefused()
    {
        var zip = DeliveryCalls.Zip(("1-endA.png", [1, 2, 3]));
        zip[6] |= 1; // general purpose bit 0: encrypted (APPNOTE.TXT 4.4.4), in the local header
        zip[zip.AsSpan().IndexOf((ReadOnlySpan<byte>)[0x50, 0x4B, 1, 2]) + 8] |= 1; // and in the directory
        await Refused(zip, 422, "zip-encrypted");
    }

    [Fact]
    public async Task Zip_SymbolicLink_IsRefused() =>
        // Unix mode in the upper half of the external attributes: S_IFLNK | 0777.
        await Refused(DeliveryCalls.Zip(e => e.ExternalAttributes = unchecked((int)0xA1FF0000), ("1-endA.jpg", Encoding.ASCII.GetBytes("/etc/passwd"))), 422, "zip-link");

    [Fact]
    public async Task Zip_TwoManifests_IsRefused()
    {
        var manifest = Encoding.ASCII.GetBytes("file,piece,surface\na.jpg,1,endA\n");
        await Refused(DeliveryCalls.Zip(("a.jpg", [1]), ("manifest.csv", manifest), ("b/Manifest.CSV", manifest)), 400, "manifest-twice");
    }

    [Fact]
    public async Task Zip_CutOff_IsRefused() => await Refused(DeliveryCalls.Zip(("1-endA.png", DeliveryCalls.Face))[..5_000], 422, "zip-broken");

    // Offsets in a directory's entry: APPNOTE.TXT 4.3.12.
    [Theory]
    [InlineData(16)] // CRC-32
    [InlineData(24)] // size
    public async Task Zip_EntryThatDoesNotMatchItsChecksumOrSize_IsRefused(int field)
    {
        var zip = DeliveryCalls.Zip(("1-endA.png", DeliveryCalls.Face));
        zip[zip.AsSpan().IndexOf((ReadOnlySpan<byte>)[0x50, 0x4B, 1, 2]) + field] ^= 1;
        await Refused(zip, 422, "zip-broken");
    }

    [Fact]
    public async Task Zip_WhoseTwoEndRecordsNameTwoDirectories_IsRefused()
    {
        // The plain end record names a decoy of one entry, the zip64 one the real directory of 30, more than the limit of 20 (APPNOTE.TXT 4.3.14 to 4.3.16).
        var zip = DeliveryCalls.Zip([.. Enumerable.Range(0, 30).Select(i => ($"d{i:00}/", Array.Empty<byte>()))]);
        ReadOnlySpan<byte> entrySignature = [0x50, 0x4B, 1, 2];
        var directory = zip.AsSpan().IndexOf(entrySignature);
        var entryLength = zip.AsSpan(directory + 4).IndexOf(entrySignature) + 4;
        var end = zip.Length - 22;
        var end64 = new byte[56];
        BinaryPrimitives.WriteUInt32LittleEndian(end64, 0x06064b50);
        BinaryPrimitives.WriteInt64LittleEndian(end64.AsSpan(4), 44);
        BinaryPrimitives.WriteInt16LittleEndian(end64.AsSpan(12), 45);
        BinaryPrimitives.WriteInt16LittleEndian(end64.AsSpan(14), 45);
        BinaryPrimitives.WriteInt64LittleEndian(end64.AsSpan(24), 30);
        BinaryPrimitives.WriteInt64LittleEndian(end64.AsSpan(32), 30);
        BinaryPrimitives.WriteInt64LittleEndian(end64.AsSpan(40), end - directory);
        BinaryPrimitives.WriteInt64LittleEndian(end64.AsSpan(48), directory);
        var locator = new byte[20];
        BinaryPrimitives.WriteUInt32LittleEndian(locator, 0x07064b50);
        BinaryPrimitives.WriteInt64LittleEndian(locator.AsSpan(8), end + entryLength);
        BinaryPrimitives.WriteInt32LittleEndian(locator.AsSpan(16), 1);
        var plain = zip[end..];
        BinaryPrimitives.WriteUInt16LittleEndian(plain.AsSpan(8), ushort.MaxValue);
        BinaryPrimitives.WriteUInt16LittleEndian(plain.AsSpan(10), ushort.MaxValue);
        BinaryPrimitives.WriteInt32LittleEndian(plain.AsSpan(16), end);
        await Refused([.. zip[..end], .. zip.AsSpan(directory, entryLength), .. end64, .. locator, .. plain], 422, "zip-broken");
    }

    [Fact]
    public async Task Zip_WithNothingInIt_IsRefused() => await Refused(DeliveryCalls.Zip(("folder/", [])), 400, "photos-missing");

    [Fact]
    public async Task Zip_BesideAPhoto_IsRefused()
    {
        var id = await _client.Enter();
        using var answer = await _client.Send(id, ("1-face1.jpg", DeliveryCalls.Face), ("a.zip", DeliveryCalls.Zip(("a.jpg", [1]))));
        await answer.IsProblem(400, "zip-not-alone");
        Assert.Empty(await _client.Photos(id));
    }

    [Fact]
    public async Task Upload_OfManyRefusals_LeavesNothingOnDisk()
    {
        await Refused(DeliveryCalls.Zip(("1.jpg", [1, 2, 3]), ("../2.jpg", [1])), 422, "zip-path");
        Assert.Empty(Directory.GetFiles(Path.Combine(service.Folder, "photos", "incoming")));
    }

    private async Task Refused(byte[] zip, int status, string code)
    {
        var id = await _client.Enter();
        using var answer = await _client.Send(id, ("a.zip", zip));
        await answer.IsProblem(status, code);
        Assert.Empty(await _client.Photos(id));
    }
}
