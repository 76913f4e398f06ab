using GrainVision.Records.Schema;
using GrainVision.Service.Measurements;
using GrainVision.Service.Storage;

namespace GrainVision.Service.Health;

/// <summary>Is it up, and can it do its work: native libraries load, records can be written, workers are not stuck.</summary>
internal static class HealthEndpoints
{
    public static void MapHealth(this WebApplication app)
    {
        var group = app.MapGroup("/health").WithTags("Health");
        group.MapGet("live", () => Results.Json(new HealthAnswer("live", []))).WithName("Live").WithSummary("The process answers.").Produces<HealthAnswer>();
        group.MapGet("ready", Ready).WithName("Ready").WithSummary("It can measure and record.").Produces<HealthAnswer>().Produces<HealthAnswer>(503);
    }

    private static IResult Ready(StartCheck start, RecordsDatabase database, ContentStores stores, MeasuringWorkers workers)
    {
        var wrong = new List<string>();
        if (start.Problem is { } problem)
            wrong.Add(problem);
        try
        {
            database.CheckWritable();
            stores.Photos.CheckWritable();
            stores.Pictures.CheckWritable();
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or Microsoft.Data.Sqlite.SqliteException)
        {
            wrong.Add("The records cannot be written: check the disk and the rights on the data folder.");
        }

        if (!workers.IsAlive)
            wrong.Add("Every worker is stuck: restart the service.");
        return Results.Json(new HealthAnswer(wrong.Count == 0 ? "ready" : "not ready", wrong), statusCode: wrong.Count == 0 ? 200 : 503);
    }

    internal sealed record HealthAnswer(string Status, IReadOnlyList<string> Problems);
}
