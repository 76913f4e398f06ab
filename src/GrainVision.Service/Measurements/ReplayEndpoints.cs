using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Service.Decisions;
using GrainVision.Service.Http;

namespace GrainVision.Service.Measurements;

/// <summary>Looking back: the same photo again, and other rules over the past. Neither writes anything.</summary>
internal static class ReplayEndpoints
{
    /// <summary>1 MB: a rule book.</summary>
    private const int MostBytes = 1_000_000;

    public static void MapReplay(this WebApplication app)
    {
        app.MapPost("/v1/measurements/{id}/replay", async (string id, HttpContext http, ReplayService desk) => Answer(await desk.Replay(id, http.RequestAborted)))
            .WithTags("Replay").WithName("Replay").WithSummary("Measures the recorded photo again and says whether numbers and picture are the same, byte for byte.")
            .Produces<ReplayAnswer>().ProducesProblems(401, 404, 429, 500, 503);
        app.MapPost("/v1/what-if", WhatIf)
            .WithTags("Replay").WithName("WhatIf").WithSummary("Runs another rule book, or the present pipeline, over past measurements and lists the verdicts that would change. Changes none.")
            .Accepts<WhatIfRequest>("application/json").Produces<WhatIfAnswer>().ProducesProblems(400, 401, 404, 413, 422, 429, 503);
    }

    private static async Task<IResult> WhatIf(HttpContext http, WhatIfService desk)
    {
        if (!(await JsonBody.Read(http, MostBytes)).TryGet(out var json, out var refusal) || !JsonBody.As<WhatIfRequest>(json).TryGet(out var request, out refusal))
            return Problems.From(refusal);
        return Answer(await desk.Run(request, http.RequestAborted));
    }

    private static IResult Answer<T>(Outcome<T> outcome)
        where T : class => outcome.TryGet(out var found, out var refusal) ? Results.Json(found, ContractJson.Options) : Problems.From(refusal);
}
