using System.Text.Json;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Records.Decisions;
using GrainVision.Service.Http;
using GrainVision.Service.Pieces;

namespace GrainVision.Service.Decisions;

/// <summary>Decisions on pieces: put on record, superseded, searched. Never edited.</summary>
internal static class DecisionEndpoints
{
    /// <summary>256 KB: a decision with every blemish of a piece answered by hand is some 20 KB.</summary>
    private const int MostBytes = 256 * 1024;

    private static readonly string[] Filters = ["delivery", "piece", "species", "use", "verdict", "person", "limitId", "rule", "from", "to"];

    public static void MapDecisions(this WebApplication app)
    {
        var pieces = app.MapGroup("/v1/pieces/{id}/decisions").WithTags("Decisions");
        pieces.MapPost("", Decide).HonoursIdempotencyKey()
            .WithName("Decide").WithSummary("Puts a verdict on a piece on record, by rule or by a person.")
            .WithDescription(
                "Without 'verdict' the rule decides from the measurements and the hand findings. A person may be stricter with a reason, and more lenient only with "
                + "\"override\":true and a reason, which the record shows for ever. A decision in force is named in 'supersedes'.")
            .Accepts<DecisionRequest>("application/json").Produces<DecisionAnswer>(201).ProducesProblems(400, 401, 404, 409, 413, 422);
        pieces.MapGet("", OfPiece).WithName("ListPieceDecisions").WithSummary("Every decision on a piece, newest first.").Produces<DecisionPage>().ProducesProblems(400, 401);
        var all = app.MapGroup("/v1/decisions").WithTags("Decisions");
        all.MapGet("", List).WithName("ListDecisions").WithSummary("Decisions by delivery, piece, species, use, verdict, person, limit and date, newest first.")
            .Produces<DecisionPage>().ProducesProblems(400, 401);
        all.MapGet("{id}", (string id, DecisionStore store) => store.Find(id) is { } found ? Answer.Written(Text(found)) : Problems.From(DecisionService.Unknown(id)))
            .WithName("GetDecision").WithSummary("One decision.").Produces<DecisionAnswer>().ProducesProblems(401, 404);
    }

    private static async Task<IResult> Decide(string id, HttpContext http, DecisionService decisions)
    {
        if (!(await JsonBody.Read<DecisionRequest>(http, MostBytes)).TryGet(out var body, out var refusal))
            return Problems.From(refusal);
        if (!decisions.Decide(id, body.Read, body.Json, IdempotencyKeys.From(http)).TryGet(out var stored, out refusal))
            return Problems.From(refusal);
        http.Response.Headers.Location = "/v1/decisions/" + IdOf(stored);
        return Answer.Written(Text(stored), StatusCodes.Status201Created);
    }

    private static IResult OfPiece(string id, HttpContext http, DecisionStore store, PieceService pieces) =>
        Query.Read(http, []).TryGet(out var query, out var refusal) ? Listed(store, pieces, new DecisionFilter { Piece = id }, query) : Problems.From(refusal);

    private static IResult List(HttpContext http, DecisionStore store, PieceService pieces)
    {
        if (!Query.Read(http, Filters).TryGet(out var query, out var refusal))
            return Problems.From(refusal);
        var filter = new DecisionFilter
        {
            Delivery = query["delivery"], Piece = query["piece"], Species = query["species"], Use = query["use"], Verdict = query["verdict"],
            Person = query["person"], LimitId = query["limitId"] ?? query["rule"], // its name before, still read
            From = query.From, To = query.To,
        };
        return Listed(store, pieces, filter, query);
    }

    /// <summary>Each with how its piece stands for its use now; without it of a piece outside a delivery.</summary>
    private static IResult Listed(DecisionStore store, PieceService pieces, DecisionFilter filter, Query query)
    {
        var found = store.Page(filter, query.After, query.Limit);
        var standing = new Dictionary<string, IReadOnlyList<UseStanding>>(StringComparer.Ordinal);
        return Answer.Page("decisions", found.Select(d => Text(d, Now)), found.Count == query.Limit ? found[^1].Entry.Number : null);

        UseStanding? Now(string piece, string ruleBook)
        {
            if (!standing.TryGetValue(piece, out var known))
                standing[piece] = known = pieces.OfPiece(piece) is [var report] ? report.Standing : [];
            return known.FirstOrDefault(s => s.RuleBook == ruleBook);
        }
    }

    /// <summary>The decision as it stands in the log, with its place in it, and how its piece stands where <paramref name="now"/> tells.</summary>
    private static string Text(StoredDecision stored, Func<string, string, UseStanding?>? now = null)
    {
        using var content = JsonDocument.Parse(stored.Entry.Content);
        var entry = content.RootElement;
        return Answer.RawJson(json =>
        {
            foreach (var member in entry.GetProperty("body").EnumerateObject())
            {
                json.WritePropertyName(member.Name);
                json.WriteRawValue(member.Value.GetRawText());
            }

            json.WriteNumber("entry", stored.Entry.Number);
            json.WriteString("entrySha256", stored.Entry.Sha256);
            json.WriteString("at", entry.GetProperty("at").GetString());
            json.WriteString("who", entry.GetProperty("who").GetString());
            if (stored.SupersededBy is { } by)
                json.WriteString("supersededBy", by);
            if (now?.Invoke(entry.GetProperty("body").GetProperty("piece").GetString()!, entry.GetProperty("body").GetProperty("ruleBook").GetString()!) is { } standing)
            {
                json.WritePropertyName("standing");
                json.WriteRawValue(JsonSerializer.Serialize(new StandingNow(standing.Outcome, standing.ByRule, standing.IsOutdated, standing.IsOverridden), ContractJson.Options));
            }
        });
    }

    private static string IdOf(StoredDecision stored)
    {
        using var content = JsonDocument.Parse(stored.Entry.Content);
        return content.RootElement.GetProperty("body").GetProperty("id").GetString()!;
    }
}
