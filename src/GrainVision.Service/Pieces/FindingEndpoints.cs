using GrainVision.Service.Http;

namespace GrainVision.Service.Pieces;

/// <summary>What a person finds on a piece: entered, corrected by a later one, never edited.</summary>
internal static class FindingEndpoints
{
    /// <summary>256 KB: every mark of a piece answered one by one is some 20 KB.</summary>
    private const int MostBytes = 256 * 1024;

    public static void MapFindings(this WebApplication app)
    {
        var group = app.MapGroup("/v1/pieces/{id}/findings").WithTags("Pieces");
        group.MapPost("", Enter).HonoursIdempotencyKey()
            .WithName("EnterFindings").WithSummary("Puts what a person found on a piece on record: readings, hand measurements, answers to questions. One or many, all or nothing.")
            .WithDescription(
                "Each finding names its instrument and who found it, and gives one of: a quantity with its value, what a mark of a picture is, the answer to a limit without a number, the "
                + "species. A wrong one is corrected by a later one that names its entry in 'corrects'. Verdicts, tally and reports follow at once.")
            .Accepts<FindingsRequest>("application/json").Produces<FindingsAnswer>(201).ProducesProblems(400, 401, 404, 409, 413, 422);
        group.MapGet("", (string id, FindingService findings) => Answer.From(findings.List(id)))
            .WithName("ListFindings").WithSummary("Every finding of a piece, oldest first, with what corrected it.").Produces<FindingsAnswer>().ProducesProblems(401, 404);
    }

    private static async Task<IResult> Enter(string id, HttpContext http, FindingService findings)
    {
        if (!(await JsonBody.Read<FindingsRequest>(http, MostBytes)).TryGet(out var body, out var refusal))
            return Problems.From(refusal);
        http.Response.Headers.Location = $"/v1/pieces/{Uri.EscapeDataString(id)}/findings";
        return Answer.From(findings.Enter(id, body.Read, body.Json, IdempotencyKeys.From(http)), StatusCodes.Status201Created);
    }
}
