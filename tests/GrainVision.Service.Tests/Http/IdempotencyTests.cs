using System.Net;

namespace GrainVision.Service.Tests.Http;

public class IdempotencyTests(RunningService service) : IClassFixture<RunningService>
{
    private readonly HttpClient _client = service.CreateClient();

    [Fact]
    public async Task Key_Repeated_GivesTheFirstAnswer()
    {
        using var first = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest, "yard-17");
        using var second = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest, "yard-17");
        Assert.Equal(HttpStatusCode.OK, second.StatusCode);
        Assert.Equal(await first.Content.ReadAsStringAsync(), await second.Content.ReadAsStringAsync());
        Assert.Equal(first.Headers.Location, second.Headers.Location);
    }

    [Fact]
    public async Task Key_ReusedForAnotherRequest_IsAConflict()
    {
        using var first = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest, "yard-18");
        Assert.Equal(HttpStatusCode.OK, first.StatusCode);
        using var otherRequest = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest + " ", "yard-18");
        await otherRequest.IsProblem(409, "idempotency-key-reused");
        using var otherPhoto = await _client.Measure(Calls.Fixture(Calls.FacePhoto), Calls.RingsRequest, "yard-18");
        await otherPhoto.IsProblem(409, "idempotency-key-reused");
    }

    [Fact]
    public async Task Key_UsedSideBySide_GivesOneRecord()
    {
        var photo = Calls.Fixture(Calls.RingsPhoto);
        var answers = await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => _client.Measure(photo, Calls.RingsRequest, "yard-19")));
        Assert.All(answers, a => Assert.Equal(HttpStatusCode.OK, a.StatusCode));
        Assert.Single(answers.Select(a => a.Headers.Location).Distinct());
        foreach (var answer in answers)
            answer.Dispose();
    }

    [Fact]
    public async Task Key_OfARefusedPhoto_MayBeUsedAgain()
    {
        using var refused = await _client.Measure([1, 2, 3], Calls.RingsRequest, "yard-20");
        await refused.IsProblem(415, "photo-format-not-supported");
        using var good = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest, "yard-20");
        Assert.Equal(HttpStatusCode.OK, good.StatusCode);
    }

    [Theory]
    [InlineData("with space")]
    [InlineData("0123456789012345678901234567890123456789012345678901234567890123456789012345678901234567890123456789012345678901234567890123456789012345678901234567890123456789012345678901234567890123456789012345678901")]
    public async Task Key_Unfit_IsRefused(string key)
    {
        using var answer = await _client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest, key);
        await answer.IsProblem(400, "idempotency-key-unfit");
    }
}
