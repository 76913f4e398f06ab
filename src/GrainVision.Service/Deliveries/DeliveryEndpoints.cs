using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Deliveries;
using GrainVision.Service.Http;
using GrainVision.Service.Measurements;
using GrainVision.Service.Uploads;
using Microsoft.AspNetCore.Http.Features;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Deliveries;

/// <summary>Deliveries: entered with their pieces, given photos, listed.</summary>
internal static class DeliveryEndpoints
{
    /// <summary>2 MB: 2,000 pieces of some 300 bytes, and a cut list.</summary>
    private const int MostBytes = 2_000_000;

    /// <summary>1 MB: what the form around the photos may hold, and the manifest.</summary>
    private const long FormBytes = 1_000_000 + ReceivedPhotos.MostManifestBytes;

    /// <summary>100: deliveries on a page at most.</summary>
    private const int MostOnPage = 100;

    public static void MapDeliveries(this WebApplication app)
    {
        var group = app.MapGroup("/v1/deliveries").WithTags("Deliveries");
        group.MapPost("", Enter).HonoursIdempotencyKey().WithName("EnterDelivery").WithSummary("Enters a delivery with its pieces, the uses asked for and the cut list.")
            .Accepts<DeliveryRequest>("application/json").Produces<DeliveryAnswer>(201).ProducesProblems(400, 401, 409, 413, 422);
        group.MapGet("", List).WithName("ListDeliveries").WithSummary("Deliveries, newest first; 'before' is the id of the last one seen.")
            .Produces<DeliveryPage>().ProducesProblems(401);
        group.MapGet("{id}", (string id, DeliveryStore store, DeliveryPhotoStore photos) => store.Find(id) is { } found ? Answer.Json(Describe(found, store, photos)) : Problems.From(DeliveryService.NoDelivery))
            .WithName("GetDelivery").WithSummary("A delivery, its pieces and what became of every photo.").Produces<DeliveryAnswer>().ProducesProblems(401, 404);
        group.MapPost("{id}/photos", Receive).HonoursIdempotencyKey().WithName("SendPhotos").WithSummary("Takes many photos, or one zip of them, and works on them in the background.")
            .WithDescription("multipart/form-data: file parts, or one zip; a part named manifest (CSV: file,piece,surface,stationMm,whole) may say where each belongs. Answers with a job.")
            .Produces<JobAnswer>(202).ProducesProblems(400, 401, 404, 409, 413, 415, 429);
        group.MapPut("{id}/photos/{sha256}/place", Assign).WithName("AssignPhoto").WithSummary("A person says where a photo belongs; it is measured anew.")
            .Accepts<PhotoPlace>("application/json").Produces<PhotoAnswer>().ProducesProblems(400, 401, 404, 409, 422);
        group.MapPost("{id}/photos/{sha256}/retry", async (string id, string sha256, HttpContext http, DeliveryService deliveries) =>
                (await deliveries.Retry(id, sha256, Caller.NameOf(http))).TryGet(out var photo, out var refusal) ? Answer.Json(PhotoAnswer.From(photo)) : Problems.From(refusal))
            .WithName("RetryPhoto").WithSummary("Has a photo that was set aside tried again.").Produces<PhotoAnswer>().ProducesProblems(401, 404, 409);
    }

    private static async Task<IResult> Enter(HttpContext http, DeliveryService deliveries, DeliveryStore store, DeliveryPhotoStore photos)
    {
        if (!(await JsonBody.Read<DeliveryRequest>(http, MostBytes)).TryGet(out var body, out var refusal))
            return Problems.From(refusal);
        if (!deliveries.Enter(body.Read, body.Json, IdempotencyKeys.From(http)).TryGet(out var stored, out refusal))
            return Problems.From(refusal);
        http.Response.Headers.Location = $"/v1/deliveries/{stored.Id}";
        return Answer.Json(Describe(stored, store, photos), StatusCodes.Status201Created);
    }

    private static IResult List(DeliveryStore store, string? before = null, int limit = 50)
    {
        var most = Math.Clamp(limit, 1, MostOnPage);
        var page = store.Page(before, most);
        return Answer.Json(new DeliveryPage([.. page.Select(d => new DeliveryLine(d.Id, d.CreatedUtc, d.CreatedBy, d.Delivery))], page.Count == most ? page[^1].Id : null));
    }

    private static async Task<IResult> Receive(string id, HttpContext http, DeliveryService deliveries, DeliveryPhotoStore photos, IOptions<DeliveryOptions> options, IOptions<WorkOptions> work)
    {
        if (http.Features.Get<IHttpMaxRequestBodySizeFeature>() is { IsReadOnly: false } size)
            size.MaxRequestBodySize = options.Value.MostBytes + FormBytes;
        if ((await deliveries.Receive(id, new MultipartForm(http.Request, PhotosForm.Advice), IdempotencyKeys.From(http), http.RequestAborted)).TryGet(out var job, out var refusal))
        {
            http.Response.Headers.Location = $"/v1/jobs/{job.Job.Id}";
            return Answer.Json(JobAnswer.From(job.Job, photos.OfJob(job.Job.Id)) with { Warnings = job.Warnings }, StatusCodes.Status202Accepted);
        }

        return refusal == MeasuringWorkers.Busy ? Problems.Busy(http, refusal, work.Value.RetryAfterSeconds) : Problems.From(refusal);
    }

    private static async Task<IResult> Assign(string id, string sha256, HttpContext http, DeliveryService deliveries)
    {
        if (!(await JsonBody.Read<PhotoPlace>(http, MostBytes)).TryGet(out var body, out var refusal))
            return Problems.From(refusal);
        return (await deliveries.Assign(id, sha256, body.Read, Caller.NameOf(http))).TryGet(out var photo, out refusal) ? Answer.Json(PhotoAnswer.From(photo)) : Problems.From(refusal);
    }

    private static DeliveryAnswer Describe(StoredDelivery stored, DeliveryStore store, DeliveryPhotoStore photos) => new(
        stored.Id, stored.CreatedUtc, stored.CreatedBy, stored.Delivery, store.Pieces(stored.Id), [.. photos.OfDelivery(stored.Id).Select(PhotoAnswer.From)],
        $"/v1/deliveries/{stored.Id}/report.json");
}
