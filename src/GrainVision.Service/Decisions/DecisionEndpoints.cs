using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Decisions;
using GrainVision.Service.Guard;
using GrainVision.Service.Http;
using GrainVision.Service.Measurements;

namespace GrainVision.Service.Decisions;

/// <summary>Decisions on pieces: put on record, superseded, searched. Never edited.</summary>
internal static class DecisionEndpoints
{
    /// <summary>256 KB: a decision with every blemish of a piece answered by hand is some 20 KB.</summary>
    private const int MostBytes = 256 * 1024;

    private static readonly string[] Filters = ["delivery", "piece", "species", "use", "verdict", "person", "rule", "from", "to"];

    public static void MapDecisions(this WebApplication app)
    {
        var pieces = app.MapGroup("/v1/pieces/{id}/decisions").WithTags("Decisions");
        pieces.MapPost("", Decide)
            .WithName("Decide").WithSummary("Puts a verdict on a piece on record, by rule or by a person.")
            .WithDescription(
                "Without 'verdict' the rule decides from the measurements and the hand findings. A person may be stricter with a reason, and more lenient only with "
                + "\"override\":true and a reason, which the record shows for ever. A decision in force is named in 'supersedes'.")
            .Accepts<DecisionRequest>("application/json").Produces<DecisionAnswer>(201).ProducesProblems(400, 401, 404, 409, 413, 422);
        pieces.MapGet("", OfPiece).WithName("ListPieceDecisions").WithSummary("Every decision on a piece, newest first.").Produces<DecisionPage>().ProducesProblems(400, 401);
        var all = app.MapGroup("/v1/decisions").WithTags("Decisions");
        all.MapGet("", List).WithName("ListDecisions").WithSummary("Decisions by delivery, piece, species, use, verdict, person, rule and date, newest first.")
            .Produces<DecisionPage>().ProducesProblems(400, 401);
        all.MapGet("{id}", (string id, DecisionStore store) => store.Find(id) is { } found ? Json(Text(found)) : Problems.From(DecisionService.Unknown(id)))
            .WithName("GetDecision").WithSummary("One decision.").Produces<DecisionAnswer>().ProducesProblems(401, 404);
    }

    private static async Task<IResult> Decide(string id, HttpContext http, DecisionService desk)
    {
        if (!(await JsonBody.Read(http, MostBytes)).TryGet(out var json, out var refusal))
            return Problems.From(refusal);
        if (!JsonBody.As<DecisionRequest>(json).TryGet(out var request, out refusal))
            return Problems.From(refusal);
        if (!desk.Decide(id, request, json, Caller.NameOf(http), MeasurementEndpoints.KeyOf(http)).TryGet(out var stored, out refusal))
            return Problems.From(refusal);
        http.Response.Headers.Location = "/v1/decisions/" + IdOf(stored);
        return Json(Text(stored), StatusCodes.Status201Created);
    }

    private static IResult OfPiece(string id, HttpContext http, DecisionStore store) =>
        Query.Read(http, []).TryGet(out var query, out var refusal) ? Listed(store, new DecisionFilter { Piece = id }, query) : Problems.From(refusal);

    private static IResult List(HttpContext http, DecisionStore store)
    {
        if (!Query.Read(http, Filters).TryGet(out var query, out var refusal))
            return Problems.From(refusal);
        var filter = new DecisionFilter
        {
            Delivery = query["delivery"], Piece = query["piece"], Species = query["species"], Use = query["use"], Verdict = query["verdict"],
            Person = query["person"], Rule = query["rule"], From = query.From, To = query.To,
        };
        return Listed(store, filter, query);
    }

    private static IResult Listed(DecisionStore store, DecisionFilter filter, Query query)
    {
        var found = store.Page(filter, query.After, query.Limit);
        return Json(Page.From("decisions", found.Select(Text), found.Count == query.Limit ? found[^1].Entry.Number : null));
    }

    /// <summary>The decision as it stands in the log, with its place in it.</summary>
    private static string Text(StoredDecision stored)
    {
        using var content = JsonDocument.Parse(stored.Entry.Content);
        var body = content.RootElement.GetProperty("body").GetRawText();
        var envelope = JsonSerializer.Serialize(
            new
            {
                Entry = stored.Entry.Number, EntrySha256 = stored.Entry.Sha256, At = content.RootElement.GetProperty("at").GetString(),
                Who = content.RootElement.GetProperty("who").GetString(), stored.SupersededBy,
            },
            ContractJson.Options);
        return $"{body[..^1]},{envelope[1..]}";
    }

    private static string IdOf(StoredDecision stored)
    {
        using var content = JsonDocument.Parse(stored.Entry.Content);
        return content.RootElement.GetProperty("body").GetProperty("id").GetString()!;
    }

    private static IResult Json(string json, int status = 200) => Results.Content(json, "application/json", Encoding.UTF8, status);

    /// <summary>For the OpenAPI document: a decision with its place in the log.</summary>
    internal sealed record DecisionAnswer(Decision Decision, long Entry, string EntrySha256, DateTimeOffset At, string Who, string? SupersededBy);

    /// <summary>For the OpenAPI document.</summary>
    internal sealed record DecisionPage(IReadOnlyList<DecisionAnswer> Decisions, long? After);
}

/// <summary>What is asked to be put on record.</summary>
internal sealed record DecisionRequest
{
    /// <summary>Rule book, at its newest version.</summary>
    public required string RuleBook { get; init; }

    /// <summary>Ids of the measurements to rest on, besides those recorded of this piece.</summary>
    public IReadOnlyList<string> Measurements { get; init; } = [];

    /// <summary>Found by hand; they go on record too, and count for later decisions on the piece.</summary>
    public IReadOnlyList<HandFinding> HandMeasurements { get; init; } = [];

    /// <summary>A person's verdict; left out, the rule decides.</summary>
    public VerdictOutcome? Verdict { get; init; }

    /// <summary>Who decides, where it is not simply the holder of the API key.</summary>
    public string? By { get; init; }

    public string? Reason { get; init; }

    /// <summary>True to be more lenient than the rule.</summary>
    public bool Override { get; init; }

    /// <summary>Id of the decision in force, where there is one.</summary>
    public string? Supersedes { get; init; }

    public string? Delivery { get; init; }

    public string? Species { get; init; }
}
