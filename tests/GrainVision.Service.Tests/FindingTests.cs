using System.Net;
using System.Text.Json.Nodes;
using UglyToad.PdfPig;

namespace GrainVision.Service.Tests;

/// <summary>
/// What a person found counts everywhere at once: verdict, tally, CSV, PDF and search. Limits of the spar book: moisture 8 to 12 % (ANC-19 2.412), specific
/// gravity 0.36 of spruce (ANC-19 Table 2-13).
/// </summary>
public class FindingTests(RunningService service) : IClassFixture<RunningService>
{
    private const string Moisture = """{"quantity":"moisture","value":9.5,"unit":"%","method":"meter","speciesCorrection":0.5,"instrument":"pin meter","by":"A. Example"}""";

    private const string Weight = """{"quantity":"weight","value":10.54,"unit":"lb","instrument":"hanging scale","by":"A. Example"}""";

    private const string Fibres = """{"limit":"fibre-streaks","answer":"met","instrument":"scribe","by":"A. Example"}""";

    private readonly HttpClient _client = service.CreateClient();

    [Fact]
    public async Task ReadingsMarkAnswerAndDecision_EachChangeVerdictTallyCsvAndPdf()
    {
        var id = await _client.EnterMeasured(service);
        var before = await State(id);
        Assert.Equal(("hold", "0/1/0"), (before.Verdict, before.Tally));
        Assert.Contains("moisture", before.Open);
        Assert.Equal("", before.Cell("moisturePercent"));

        await Entered(id, Moisture);
        var read = await State(id);
        Assert.DoesNotContain("moisture", read.Open);
        Assert.Equal("10", read.Cell("moisturePercent")); // 9.5 and the meter's correction of 0.5
        Assert.Contains("Moisture: 10.0 % (9.0 to 11.0)", read.Record, StringComparison.Ordinal);
        Assert.Contains("Moisture 9.5 %, meter, corrected for the species by 0.5. By A. Example, pin meter.", read.Record, StringComparison.Ordinal);
        Assert.Contains("\u2610 moisture", before.Sheet, StringComparison.Ordinal);
        Assert.DoesNotContain("\u2610 moisture", read.Sheet, StringComparison.Ordinal);

        await Entered(id, Weight, Fibres);
        Assert.Equal(["knot", "knot-grain-at-edge"], (await State(id)).Open);
        var mark = await Mark(id);
        await Entered(id, $$"""{"measurement":"{{mark}}","blemish":1,"is":"none","instrument":"lens","by":"A. Example"}""");
        var accepted = await State(id);
        Assert.Equal(("accept", "1/0/0", "accept"), (accepted.Verdict, accepted.Tally, accepted.Cell("verdict")));
        Assert.Contains("ACCEPT", accepted.Record, StringComparison.Ordinal);
        Assert.Contains("Whole piece: solid wing spar.", accepted.Sheet, StringComparison.Ordinal);
        Assert.Contains("none is rejected", accepted.Letter, StringComparison.Ordinal);
        Assert.Equal("0", accepted.Cell("blemishes"));
        Assert.DoesNotContain("decided by", accepted.Record, StringComparison.Ordinal);

        await Decided(id, """{"ruleBook":"spar","verdict":"reject","reason":"Decay at end B.","by":"B. Example"}""");
        var decided = await State(id);
        Assert.Equal(("accept", "0/0/1"), (decided.Verdict, decided.Tally)); // by the rule accept, as it stands reject
        Assert.Equal(("reject", "accept", "B. Example", "no"), (decided.Cell("verdict"), decided.Cell("byRule"), decided.Cell("decidedBy"), decided.Cell("override")));
        Assert.Contains("Reject decided by B. Example", decided.Record, StringComparison.Ordinal);
        Assert.Contains("Rejected by B. Example: Decay at end B.", decided.Letter, StringComparison.Ordinal);
        Assert.Contains("REJECT", decided.Sheet, StringComparison.Ordinal);
        var search = JsonNode.Parse(await _client.GetStringAsync($"/v1/decisions?piece={id}-1"))!["decisions"]![0]!["standing"]!;
        Assert.Equal(("reject", "accept", "false"), (search["outcome"]!.ToString(), search["byRule"]!.ToString(), search["isOverridden"]!.ToString()));
        Assert.Equal("0", decided.Cell("clearLengths")); // what a person rejected is not cut up for this use
    }

    [Fact]
    public async Task Override_StaysMarkedThoughSuperseded()
    {
        var id = await _client.EnterMeasured(service);
        var over = await Decided(id, """{"ruleBook":"spar","verdict":"accept","override":true,"reason":"Split a sliver: straight.","by":"B. Example"}""");
        var overridden = await State(id);
        Assert.Equal(("hold", "1/0/0", "accept", "yes"), (overridden.Verdict, overridden.Tally, overridden.Cell("verdict"), overridden.Cell("override")));
        Assert.Contains("Override: the rule says hold", overridden.Record, StringComparison.Ordinal);
        Assert.Contains("OVERRIDE: solid wing spar", overridden.Sheet, StringComparison.Ordinal);
        await Decided(id, $$"""{"ruleBook":"spar","supersedes":"{{over["id"]}}"}""");
        var after = await State(id);
        Assert.Equal(("0/1/0", "hold", "yes"), (after.Tally, after.Cell("verdict"), after.Cell("override")));
        Assert.Contains("Override, earlier", after.Record, StringComparison.Ordinal);
    }

    [Fact]
    public async Task EvidenceThatTurnsGraverAfterADecision_Counts()
    {
        var id = await _client.EnterMeasured(service);
        await Entered(id, Moisture, Weight, Fibres, $$"""{"measurement":"{{await Mark(id)}}","blemish":1,"is":"none","instrument":"lens","by":"A"}""");
        await Decided(id, """{"ruleBook":"spar","verdict":"accept","by":"B. Example"}""");
        Assert.Equal("1/0/0", (await State(id)).Tally);
        await Entered(id, """{"limit":"compression-and-decay","answer":"broken","note":"Failures across face 3.","instrument":"lamp","by":"A"}""");
        var after = await State(id);
        Assert.Equal(("reject", "0/0/1"), (after.Verdict, after.Tally));
        Assert.Contains("the evidence has changed", after.Record, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Finding_Wrong_IsCorrectedByALaterOneAndNeverEdited()
    {
        var id = await _client.EnterMeasured(service);
        var wrong = (await Entered(id, """{"quantity":"moisture","value":19,"unit":"%","method":"oven-dry","instrument":"oven","by":"A"}"""))["findings"]![0]!;
        Assert.Contains("moisture", (await State(id)).Open);
        await Entered(id, $$"""{"corrects":{{wrong["entry"]}},"quantity":"moisture","value":10,"unit":"%","method":"oven-dry","instrument":"oven","by":"A"}""");
        Assert.DoesNotContain("moisture", (await State(id)).Open);
        var all = JsonNode.Parse(await _client.GetStringAsync($"/v1/pieces/{id}-1/findings"))!["findings"]!.AsArray();
        Assert.Equal((2, 19, all[1]!["entry"]!.GetValue<long>()), (all.Count, all[0]!["finding"]!["value"]!.GetValue<double>(), all[0]!["correctedBy"]!.GetValue<long>()));
        using var twice = await Post(id, null, $$"""{"corrects":{{wrong["entry"]}},"quantity":"moisture","value":9,"unit":"%","method":"oven-dry","instrument":"oven","by":"A"}""");
        await twice.IsProblem(409, "finding-not-current");
        using var never = await Post(id, null, """{"corrects":999999,"quantity":"moisture","value":9,"unit":"%","method":"oven-dry","instrument":"oven","by":"A"}""");
        await never.IsProblem(409, "finding-not-current");
        var problem = JsonNode.Parse(await _client.GetStringAsync("/v1/log/verification"))!["problem"];
        Assert.True(problem is null, problem?.ToJsonString());
    }

    [Fact]
    public async Task Key_Repeated_GivesTheFirstAnswerAndEntersOnce()
    {
        var id = await _client.EnterMeasured(service);
        var key = Guid.NewGuid().ToString();
        using var first = await Post(id, key, Moisture, Weight);
        using var second = await Post(id, key, Moisture, Weight);
        Assert.Equal((HttpStatusCode.Created, HttpStatusCode.Created), (first.StatusCode, second.StatusCode));
        Assert.Equal(await first.Content.ReadAsStringAsync(), await second.Content.ReadAsStringAsync());
        Assert.Equal(2, JsonNode.Parse(await _client.GetStringAsync($"/v1/log?kind=handMeasurement&piece={id}-1"))!["entries"]!.AsArray().Count);
        using var other = await Post(id, key, Moisture);
        await other.IsProblem(409, "idempotency-key-reused");
    }

    [Theory]
    [InlineData("""{"quantity":"moisture","value":9.5,"unit":"%","instrument":"pin meter","by":"A"}""")] // by which method?
    [InlineData("""{"quantity":"moisture","value":9.5,"unit":"%","method":"meter","instrument":"pin meter","by":"A"}""")] // corrected for the species?
    [InlineData("""{"quantity":"moisture","value":9.5,"unit":"%","method":"oven-dry","speciesCorrection":1,"instrument":"oven","by":"A"}""")]
    [InlineData("""{"quantity":"weight","value":-3,"unit":"lb","instrument":"scale","by":"A"}""")]
    [InlineData("""{"quantity":"weight","value":3,"unit":"stone","instrument":"scale","by":"A"}""")]
    [InlineData("""{"quantity":"weight","value":3,"unit":"lb","surface":"face1","instrument":"scale","by":"A"}""")]
    [InlineData("""{"quantity":"worstInch","value":7,"plusMinus":0.2,"unit":"rings/in","surface":"face1","instrument":"lens","by":"A"}""")]
    [InlineData("""{"measurement":"unknown","blemish":1,"is":"none","instrument":"lens","by":"A"}""")]
    [InlineData("""{"limit":"pith","answer":"met","instrument":"","by":"A"}""")]
    [InlineData("""{"instrument":"lens","by":"A"}""")]
    [InlineData("""{"limit":"no-such-limit","answer":"met","instrument":"lens","by":"A"}""")]
    public async Task Finding_ThatSaysTooLittle_IsRefusedAndNothingIsEntered(string finding)
    {
        var id = await _client.Enter(MeasuredPiece.Delivery);
        using var answer = await Post(id, null, Moisture, finding);
        await answer.IsProblem(422, "finding-unreadable", "request");
        Assert.Empty(JsonNode.Parse(await _client.GetStringAsync($"/v1/pieces/{id}-1/findings"))!["findings"]!.AsArray());
    }

    [Fact]
    public async Task Finding_OfAMarkOrPhotoThatThePieceDoesNotHave_IsRefused()
    {
        var (id, other) = (await _client.EnterMeasured(service), await _client.EnterMeasured(service));
        using var mark = await Post(id, null, $$"""{"measurement":"{{await Mark(id)}}","blemish":7,"is":"none","instrument":"lens","by":"A"}""");
        await mark.IsProblem(422, "finding-unreadable");
        using var photo = await Post(id, null, $$"""{"measurement":"{{await Mark(other)}}","blemish":1,"is":"none","instrument":"lens","by":"A"}""");
        await photo.IsProblem(422, "finding-unreadable");
    }

    [Fact]
    public async Task Questions_AreAskedAnsweredAndGone()
    {
        var id = await _client.EnterMeasured(service);
        var asked = JsonNode.Parse(await _client.GetStringAsync($"/v1/pieces/{id}-1/questions"))!;
        Assert.Equal(["mark", "moisture", "weight", "fibres"], asked["questions"]!.AsArray().Select(q => q!["code"]!.ToString()));
        Assert.Equal(["mark", "moisture", "weight", "look"], asked["questions"]!.AsArray().Select(q => q!["answer"]!["kind"]!.ToString()));
        Assert.Equal("faces-with-light", asked["questions"]![0]!["step"]!.ToString());
        Assert.Contains(asked["walk"]!.AsArray(), w => w!["limit"]!.ToString() == "compression-and-decay");
        var mark = asked["questions"]![0]!["answer"]!["mark"]!;
        await Entered(id, Moisture, Weight, Fibres);
        var left = JsonNode.Parse(await _client.GetStringAsync($"/v1/pieces/{id}-1/questions"))!["questions"]!.AsArray();
        Assert.Equal((1, "spar"), (left.Count, left[0]!["settles"]![0]!.ToString()));
        await Entered(id, $$"""{"measurement":"{{mark["measurement"]}}","blemish":{{mark["blemish"]}},"is":"none","instrument":"lens","by":"A"}""");
        Assert.Empty(JsonNode.Parse(await _client.GetStringAsync($"/v1/pieces/{id}-1/questions"))!["questions"]!.AsArray());
        var state = await State(id);
        Assert.Equal(("accept", "0"), (state.Cell("verdict"), state.Cell("questionsLeft")));
    }

    [Fact]
    public async Task CloseUp_OfTheMark_AnswersForIt()
    {
        var id = await _client.EnterMeasured(service);
        var close = MeasuredPiece.TakeCloser(service);
        var entered = await Entered(id, Moisture, Weight, Fibres, $$"""{"measurement":"{{await Mark(id)}}","blemish":1,"closeUp":"{{close}}","instrument":"phone","by":"A. Example"}""");
        Assert.Equal(("none", close), (entered["findings"]![3]!["finding"]!["is"]!.ToString(), entered["findings"]![3]!["finding"]!["closeUp"]!.ToString()));
        Assert.Equal("1/0/0", (await State(id)).Tally);
        using var unknown = await Post(id, null, $$"""{"measurement":"{{close}}","blemish":1,"closeUp":"{{close}}","instrument":"phone","by":"A"}""");
        await unknown.IsProblem(422, "finding-unreadable");
    }

    [Fact]
    public async Task WhatIfAndAuditPack_SayHowThePieceStands()
    {
        var id = await _client.EnterMeasured(service);
        await Entered(id, Moisture, Weight, Fibres, $$"""{"measurement":"{{await Mark(id)}}","blemish":1,"is":"none","instrument":"lens","by":"A. Example"}""");
        await Decided(id, """{"ruleBook":"spar","verdict":"accept","by":"B. Example"}""");

        // A stricter spar book: 11 rings in the worst inch, where 10.6 were counted.
        var book = JsonNode.Parse(await _client.GetStringAsync("/v1/rule-books/spar"))!;
        book["version"] = 99;
        foreach (var row in book["limits"]!.AsArray().First(l => l!["id"]!.ToString() == "rings-per-inch")!["species"]!.AsArray())
            row!["least"] = 11;
        using var tried = await _client.PostAsync("/v1/what-if", DeliveryCalls.Json(new JsonObject { ["ruleBook"] = book, ["delivery"] = id }.ToJsonString()));
        var piece = Assert.Single((await tried.Json()).GetProperty("pieces").EnumerateArray());
        Assert.Equal(($"{id}-1", "accept", "reject", "accept"), (piece.Text("piece"), piece.Text("byRule"), piece.Text("now"), piece.Text("decided")));
        Assert.Equal("1/0/0", (await State(id)).Tally); // nothing was changed

        using var pack = new System.IO.Compression.ZipArchive(await _client.GetStreamAsync($"/v1/pieces/{id}-1/audit-pack"));
        using var page = new StreamReader(pack.GetEntry("index.html")!.Open());
        var html = await page.ReadToEndAsync();
        Assert.Contains("accept by B. Example", html, StringComparison.Ordinal);
        Assert.Contains("moisture 9.5 %</strong>, found by A. Example with pin meter", html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Finding_OfAPieceThatNobodyKnows_IsRefused()
    {
        using var answer = await _client.Post("/v1/pieces/nobody-knows/findings", DeliveryCalls.Json($$"""{"findings":[{{Moisture}}]}"""));
        await answer.IsProblem(404, "piece-unknown");
        using var list = await _client.GetAsync("/v1/pieces/nobody-knows/findings");
        await list.IsProblem(404, "piece-unknown");
    }

    private async Task<string> Mark(string id) => JsonNode.Parse(await _client.GetStringAsync($"/v1/pieces/{id}-1"))!["report"]!["verdicts"]![0]!["reasons"]!.AsArray()
        .First(r => r!["mark"] is not null)!["mark"]!["measurement"]!.ToString();

    private async Task<JsonNode> Entered(string id, params string[] findings)
    {
        using var answer = await Post(id, null, findings);
        var text = await answer.Content.ReadAsStringAsync();
        Assert.True(answer.StatusCode == HttpStatusCode.Created, text);
        return JsonNode.Parse(text)!;
    }

    private Task<HttpResponseMessage> Post(string id, string? key, params string[] findings) =>
        _client.Post($"/v1/pieces/{id}-1/findings", DeliveryCalls.Json($$"""{"findings":[{{string.Join(',', findings)}}]}"""), key);

    private async Task<JsonNode> Decided(string id, string decision)
    {
        using var answer = await _client.Post($"/v1/pieces/{id}-1/decisions", DeliveryCalls.Json(decision));
        var text = await answer.Content.ReadAsStringAsync();
        Assert.True(answer.StatusCode == HttpStatusCode.Created, text);
        return JsonNode.Parse(text)!;
    }

    private async Task<Shown> State(string id)
    {
        var report = JsonNode.Parse(await _client.GetStringAsync($"/v1/deliveries/{id}/report.json"))!;
        var verdict = report["pieces"]![0]!["verdicts"]![0]!;
        var tally = report["tally"]![0]!;
        return new Shown(
            verdict["outcome"]!.ToString(),
            [.. verdict["reasons"]!.AsArray().Where(r => r!["outcome"]!.ToString() != "accept").Select(r => r!["limitId"]!.ToString()).Distinct().Order(StringComparer.Ordinal)],
            $"{tally["accept"]!["pieces"]}/{tally["hold"]!["pieces"]}/{tally["reject"]!["pieces"]}",
            [.. await FirstRow($"/v1/deliveries/{id}/report.csv"), .. await FirstRow($"/v1/deliveries/{id}/report.csv?table=pieces")],
            await Words($"/v1/pieces/{id}-1/inspection-record.pdf"),
            await Words($"/v1/deliveries/{id}/shop-sheet.pdf"),
            await Words($"/v1/deliveries/{id}/mill-letter.pdf"));
    }

    private async Task<IEnumerable<(string Column, string Value)>> FirstRow(string address)
    {
        var csv = (await _client.GetStringAsync(address)).TrimStart('\uFEFF').Split("\r\n");
        return csv[0].Split(',').Zip(Cells(csv[1])).Select(c => (c.First.Trim('"'), c.Second));
    }

    private async Task<string> Words(string address)
    {
        using var pdf = PdfDocument.Open(await _client.GetByteArrayAsync(address));
        return string.Join(' ', pdf.GetPages().SelectMany(p => p.GetWords()).Select(w => w.Text)).Replace('\u00A0', ' ');
    }

    /// <summary>Cells of one line of our CSV: words are quoted, numbers bare.</summary>
    private static IEnumerable<string> Cells(string line) =>
        System.Text.RegularExpressions.Regex.Matches(line, "(?:^|,)(?:\"((?:[^\"]|\"\")*)\"|([^,]*))").Select(m => m.Groups[1].Success ? m.Groups[1].Value : m.Groups[2].Value);

    private sealed record Shown(string Verdict, IReadOnlyList<string> Open, string Tally, IReadOnlyList<(string Column, string Value)> Row, string Record, string Sheet, string Letter)
    {
        public string Cell(string column) => Row.First(c => c.Column == column).Value;
    }
}
