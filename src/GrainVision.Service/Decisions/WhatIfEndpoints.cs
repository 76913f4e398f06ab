using GrainVision.Service.Http;

namespace GrainVision.Service.Decisions;

/// <summary>Other rules over the past. Writes nothing.</summary>
internal static class WhatIfEndpoints
{
    /// <summary>1 MB: a rule book.</summary>
    private const int MostBytes = 1_000_000;

    public static void MapWhatIf(this WebApplication app) =>
        app.MapPost("/v1/what-if", WhatIf)
            .WithTags("Replay").WithName("WhatIf").WithSummary("Runs another rule book, or the present pipeline, over past measurements and lists the verdicts that would change. Changes none.")
            .Accepts<WhatIfRequest>("application/json").Produces<WhatIfAnswer>().ProducesProblems(400, 401, 404, 413, 422, 429, 503);

    private static async Task<IResult> WhatIf(HttpContext http, WhatIfService whatIf)
    {
        if (!(await JsonBody.Read<WhatIfRequest>(http, MostBytes)).TryGet(out var body, out var refusal))
            return Problems.From(refusal);
        return Answer.From(await whatIf.Run(body.Read, http.RequestAborted));
    }
}
