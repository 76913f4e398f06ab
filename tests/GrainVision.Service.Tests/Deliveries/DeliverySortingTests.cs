using System.Net;
using System.Text;
using System.Text.Json;

namespace GrainVision.Service.Tests.Deliveries;

/// <summary>Photos that sort themselves by card, name or manifest, and those that a person must see to.</summary>
public class DeliverySortingTests(RunningService service) : IClassFixture<RunningService>
{
    private readonly HttpClient _client = service.CreateClient();

    [Fact]
    public async Task Photos_GoodBadAndUnsorted_EachEndsWhereItShould()
    {
        var id = await _client.Enter();
        var job = await _client.SendAll(
            id, ("2-face1.jpg", DeliveryCalls.Face), ("2-endA.jpg", DeliveryCalls.NoPhoto), ("IMG_1.jpg", DeliveryCalls.OtherFace), ("IMG_2.jpg", DeliveryCalls.EndWithCard),
            ("9-face1.jpg", Calls.Fixture("photos/face-tanoak-flat-sawn.jpg")));
        var photos = await _client.Photos(id);
        Assert.Equal(("measured", "name"), (photos["2-face1.jpg"].Text("state"), photos["2-face1.jpg"].Text("sortedBy")));
        // Refused by intake while it was being sorted: set aside with intake's reason, whatever its name says.
        Assert.Equal(("setAside", "photo-format-not-supported"), (photos["2-endA.jpg"].Text("state"), photos["2-endA.jpg"].Text("problem", "code")));
        Assert.Equal(("unsorted", "photo-unsorted"), (photos["IMG_1.jpg"].Text("state"), photos["IMG_1.jpg"].Text("problem", "code")));
        Assert.Equal(("card", "1", "endA"), (photos["IMG_2.jpg"].Text("sortedBy"), photos["IMG_2.jpg"].Text("place", "pieceNumber"), photos["IMG_2.jpg"].Text("place", "surface")));
        Assert.Equal(("unsorted", "piece-unknown"), (photos["9-face1.jpg"].Text("state"), photos["9-face1.jpg"].Text("problem", "code")));
        Assert.Contains("IMG_1.jpg", job.GetProperty("failures").EnumerateArray().Select(f => f.Text("fileName")));
        Assert.All(job.GetProperty("failures").EnumerateArray(), f => Assert.NotEmpty(f.Text("problem", "advice")!));

        using var assigned = await _client.Assign(id, photos["IMG_1.jpg"], """{"pieceNumber":2,"surface":"face2","stationMm":600}""");
        Assert.Equal(HttpStatusCode.OK, assigned.StatusCode);
        await _client.Done($"/v1/jobs/{job.Text("id")}");
        var seen = (await _client.Photos(id))["IMG_1.jpg"];
        Assert.Equal(("measured", "person", "600"), (seen.Text("state"), seen.Text("sortedBy"), seen.Text("place", "stationMm")));
        Assert.Null(seen.Text("problem", "code"));

        var log = await _client.GetStringAsync("/v1/log/export");
        Assert.Single(log.Split('\n'), l => l.Contains("\"kind\":\"delivery\"", StringComparison.Ordinal) && l.Contains(id, StringComparison.Ordinal));
        Assert.Single(log.Split('\n'), l => l.Contains("\"by\":\"person\"", StringComparison.Ordinal) && l.Contains(id, StringComparison.Ordinal));
        Assert.Contains("\"isWhole\":true", await _client.GetStringAsync("/v1/log/verification"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task CardAndName_Disagree_LeavesThePhotoToAPerson()
    {
        var id = await _client.Enter();
        await _client.SendAll(id, ("2-endA.jpg", DeliveryCalls.EndWithCard));
        var photo = (await _client.Photos(id))["2-endA.jpg"];
        Assert.Equal(("unsorted", "photo-places-disagree"), (photo.Text("state"), photo.Text("problem", "code")));
        Assert.Null(photo.Text("place"));
    }

    [Fact]
    public async Task TwoCards_Disagree_LeavesThePhotoToAPersonWhateverItsName()
    {
        var id = await _client.Enter();
        await _client.SendAll(id, ("1-endA.jpg", Calls.Fixture("photos/drawn-two-piece-cards.jpg")));
        var photo = (await _client.Photos(id))["1-endA.jpg"];
        Assert.Equal(("unsorted", "piece-cards-disagree"), (photo.Text("state"), photo.Text("problem", "code")));
    }

    [Fact]
    public async Task Photo_Twice_IsOnePhoto()
    {
        var id = await _client.Enter();
        var job = await _client.SendAll(id, ("1-face1.jpg", DeliveryCalls.Face), ("1-face1.jpg", DeliveryCalls.Face), ("copy of it.jpg", DeliveryCalls.Face));
        Assert.Equal(1, job.GetProperty("counts").GetProperty("photos").GetInt32());
        var again = await _client.SendAll(id, ("2-face4.jpg", DeliveryCalls.Face));
        Assert.Equal(1, again.GetProperty("counts").GetProperty("photos").GetInt32());
        var photo = Assert.Single(await _client.Photos(id));
        Assert.Equal(("1-face1.jpg", "1"), (photo.Key, photo.Value.Text("place", "pieceNumber")));
    }

    [Fact]
    public async Task Manifest_SentLater_SortsWhatWasLeftUnsorted()
    {
        var id = await _client.Enter();
        await _client.SendAll(id, ("IMG_1.jpg", DeliveryCalls.Face));
        await _client.SendAll(id, ("IMG_1.jpg", DeliveryCalls.Face), ("manifest.csv", Encoding.ASCII.GetBytes("file;piece;surface\nimg_1.jpg;2;face1\n")));
        var photo = (await _client.Photos(id))["IMG_1.jpg"];
        Assert.Equal(("measured", "manifest", "2"), (photo.Text("state"), photo.Text("sortedBy"), photo.Text("place", "pieceNumber")));
    }

    [Theory]
    [InlineData("file,piece\na.jpg,1\n")]
    [InlineData("file,piece,surface\na.jpg,1,top\n")]
    [InlineData("file,piece,surface\na.jpg,one,endA\n")]
    public async Task Manifest_ThatCannotBeRead_RefusesTheUpload(string csv)
    {
        var id = await _client.Enter();
        using var answer = await _client.Send(id, ("a.jpg", DeliveryCalls.Face), ("manifest.csv", Encoding.ASCII.GetBytes(csv)));
        await answer.IsProblem(422, "manifest-unreadable");
        Assert.Empty(await _client.Photos(id));
    }

    [Fact]
    public async Task SetAside_IsTriedAgainOnlyWhereAsked()
    {
        var id = await _client.Enter();
        var job = await _client.SendAll(id, ("1-face1.jpg", DeliveryCalls.Face), ("bad.jpg", DeliveryCalls.NoPhoto));
        var photos = await _client.Photos(id);
        using (var measured = await _client.PostAsync($"/v1/deliveries/{id}/photos/{photos["1-face1.jpg"].Text("sha256")}/retry", null))
            await measured.IsProblem(409, "photo-not-set-aside");
        using (var unknown = await _client.PostAsync($"/v1/deliveries/{id}/photos/{new string('0', 64)}/retry", null))
            await unknown.IsProblem(404, "photo-unknown");
        using (var again = await _client.PostAsync($"/v1/deliveries/{id}/photos/{photos["bad.jpg"].Text("sha256")}/retry", null))
            Assert.Equal(HttpStatusCode.OK, again.StatusCode);
        await _client.Done($"/v1/jobs/{job.Text("id")}");
        Assert.Equal("setAside", (await _client.Photos(id))["bad.jpg"].Text("state"));
    }

    [Theory]
    [InlineData("""{"pieceNumber":7,"surface":"endA"}""", 404, "piece-unknown")]
    [InlineData("""{"pieceNumber":1,"surface":"endA","stationMm":-1}""", 422, "station-unfit")]
    [InlineData("""{"pieceNumber":1,"surface":"top"}""", 400, "body-unreadable")]
    [InlineData("""{"pieceNumber":1}""", 400, "body-unreadable")]
    [InlineData("""{"pieceNumber":1,"surface":"endA","colour":1}""", 400, "body-unreadable")]
    public async Task Place_ThatCannotBe_IsRefused(string place, int status, string code)
    {
        var id = await _client.Enter();
        await _client.SendAll(id, ("bad.jpg", DeliveryCalls.NoPhoto));
        using var answer = await _client.Assign(id, (await _client.Photos(id))["bad.jpg"], place);
        await answer.IsProblem(status, code);
    }
}
