using GrainVision.Service.Http;

namespace GrainVision.Service.Measurements;

/// <summary>Looking back: the same photo again. Writes nothing.</summary>
internal static class ReplayEndpoints
{
    public static void MapReplay(this WebApplication app) =>
        app.MapPost("/v1/measurements/{id}/replay", async (string id, HttpContext http, ReplayService replays) => Answer.From(await replays.Replay(id, http.RequestAborted)))
            .WithTags("Replay").WithName("Replay").WithSummary("Measures the recorded photo again and says whether numbers and picture are the same, byte for byte.")
            .Produces<ReplayAnswer>().ProducesProblems(401, 404, 429, 500, 503);
}
