using System.Globalization;
using System.Net.ServerSentEvents;
using System.Runtime.CompilerServices;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Deliveries;
using GrainVision.Service.Http;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Deliveries;

/// <summary>How far the work on an upload has come: by asking, or by listening.</summary>
internal static class JobEndpoints
{
    /// <summary>500 ms: a photo takes a second or so.</summary>
    private static readonly TimeSpan Look = TimeSpan.FromMilliseconds(500);

    private static readonly Refusal NoJob = RefusalCatalog.JobUnknown.Because("There is no job of that id.");

    public static void MapJobs(this WebApplication app)
    {
        var group = app.MapGroup("/v1/jobs").WithTags("Deliveries");
        group.MapGet("{id}", (string id, DeliveryPhotoStore photos) => photos.FindJob(id) is { } job ? Answer.Json(JobAnswer.From(job, photos.OfJob(id))) : Problems.From(NoJob))
            .WithName("GetJob").WithSummary("State, counts, and each failure with its reason.").Produces<JobAnswer>().ProducesProblems(401, 404);
        group.MapGet("{id}/events", Events)
            .WithName("ListenToJob").WithSummary("Server-sent events: 'photo' for each one done with, 'progress' with the counts, 'done' at the end.")
            .WithDescription("Last-Event-ID is honoured: what was finished since is told first.").ProducesProblems(401, 404);
    }

    private static IResult Events(string id, HttpContext http, DeliveryPhotoStore photos, TimeProvider time, IHostApplicationLifetime lifetime, IOptions<DeliveryOptions> options)
    {
        if (photos.FindJob(id) is not { } job)
            return Problems.From(NoJob);
        // Whoever says nothing, or nonsense, is told all.
        var last = long.TryParse(http.Request.Headers["Last-Event-ID"].ToString(), NumberStyles.None, CultureInfo.InvariantCulture, out var seen) ? seen : 0;
        return TypedResults.ServerSentEvents(Listen(job, photos, last, TimeSpan.FromSeconds(options.Value.LongestSilenceSeconds), time, lifetime.ApplicationStopping, http.RequestAborted));
    }

    private static async IAsyncEnumerable<SseItem<JsonElement>> Listen(
        StoredJob job, DeliveryPhotoStore photos, long last, TimeSpan longestSilence, TimeProvider time, CancellationToken stopping, [EnumeratorCancellation] CancellationToken gone)
    {
        // A listener must not hold up the end of the service: it asks again with Last-Event-ID.
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(gone, stopping);
        var told = "";
        var spoke = time.GetTimestamp();
        while (true)
        {
            var all = photos.OfJob(job.Id);
            foreach (var photo in all.Where(p => p.FinishedNo > last).OrderBy(p => p.FinishedNo).ToList())
            {
                last = photo.FinishedNo!.Value;
                yield return Item("photo", PhotoAnswer.From(photo), last);
            }

            var answer = JobAnswer.From(job, all);
            var counts = JsonSerializer.Serialize(answer.Counts, ContractJson.Options);
            if (counts != told || time.GetElapsedTime(spoke) > longestSilence)
            {
                (told, spoke) = (counts, time.GetTimestamp());
                yield return Item("progress", answer.Counts, last);
            }

            if (answer.State == JobState.Done)
            {
                yield return Item("done", answer, last);
                yield break;
            }

            await Task.Delay(Look, time, stop.Token).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            if (stop.IsCancellationRequested)
                yield break;
        }
    }

    private static SseItem<JsonElement> Item<T>(string kind, T data, long number) =>
        new(JsonSerializer.SerializeToElement(data, ContractJson.Options), kind) { EventId = number.ToString(CultureInfo.InvariantCulture) };
}
