using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Deliveries;
using GrainVision.Service.Guard;
using GrainVision.Service.Http;
using GrainVision.Service.Jobs;
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
        group.MapPost("", Enter).WithName("EnterDelivery").WithSummary("Enters a delivery with its pieces, the uses asked for and the cut list.")
            .Accepts<DeliveryRequest>("application/json").Produces<DeliveryAnswer>(201).ProducesProblems(400, 401, 409, 413, 422);
        group.MapGet("", List).WithName("ListDeliveries").WithSummary("Deliveries, newest first; 'before' is the id of the last one seen.")
            .Produces<DeliveryPage>().ProducesProblems(401);
        group.MapGet("{id}", (string id, DeliveryStore store, DeliveryPhotoStore photos) => store.Find(id) is { } found ? Json(Answer(found, store, photos)) : Problems.From(DeliveryService.NoDelivery))
            .WithName("GetDelivery").WithSummary("A delivery, its pieces and what became of every photo.").Produces<DeliveryAnswer>().ProducesProblems(401, 404);
        group.MapPost("{id}/photos", Receive).WithName("SendPhotos").WithSummary("Takes many photos, or one zip of them, and works on them in the background.")
            .WithDescription("multipart/form-data: file parts, or one zip; a part named manifest (CSV: file,piece,surface,stationMm,whole) may say where each belongs. Answers with a job.")
            .Produces<JobAnswer>(202).ProducesProblems(400, 401, 404, 409, 413, 415, 429);
        group.MapPut("{id}/photos/{sha256}/place", Assign).WithName("AssignPhoto").WithSummary("A person says where a photo belongs; it is measured anew.")
            .Accepts<PhotoPlace>("application/json").Produces<PhotoAnswer>().ProducesProblems(400, 401, 404, 409, 422);
        group.MapPost("{id}/photos/{sha256}/retry", async (string id, string sha256, DeliveryService desk) =>
                (await desk.Retry(id, sha256)).TryGet(out var photo, out var refusal) ? Json(PhotoAnswer.From(photo)) : Problems.From(refusal))
            .WithName("RetryPhoto").WithSummary("Has a photo that was set aside tried again.").Produces<PhotoAnswer>().ProducesProblems(401, 404, 409);
    }

    private static async Task<IResult> Enter(HttpContext http, DeliveryService desk, DeliveryStore store, DeliveryPhotoStore photos)
    {
        if (!(await JsonBody.Read(http, MostBytes)).TryGet(out var json, out var refusal) || !JsonBody.As<DeliveryRequest>(json).TryGet(out var request, out refusal))
            return Problems.From(refusal);
        if (!desk.Enter(request, json, Caller.NameOf(http), MeasurementEndpoints.KeyOf(http)).TryGet(out var stored, out refusal))
            return Problems.From(refusal);
        http.Response.Headers.Location = $"/v1/deliveries/{stored.Id}";
        return Json(Answer(stored, store, photos), StatusCodes.Status201Created);
    }

    private static IResult List(DeliveryStore store, string? before = null, int limit = 50)
    {
        var most = Math.Clamp(limit, 1, MostOnPage);
        var page = store.Page(before, most);
        return Json(new DeliveryPage([.. page.Select(d => new DeliveryLine(d.Id, d.CreatedUtc, d.CreatedBy, d.Delivery))], page.Count == most ? page[^1].Id : null));
    }

    private static async Task<IResult> Receive(string id, HttpContext http, DeliveryService desk, DeliveryPhotoStore photos, IOptions<DeliveryOptions> options, IOptions<WorkOptions> work)
    {
        if (http.Features.Get<IHttpMaxRequestBodySizeFeature>() is { IsReadOnly: false } size)
            size.MaxRequestBodySize = options.Value.MostBytes + FormBytes;
        if ((await desk.Receive(id, http.Request, Caller.NameOf(http), MeasurementEndpoints.KeyOf(http), http.RequestAborted)).TryGet(out var job, out var refusal))
        {
            http.Response.Headers.Location = $"/v1/jobs/{job.Job.Id}";
            return Json(JobAnswer.From(job.Job, photos.OfJob(job.Job.Id)) with { Warnings = job.Warnings }, StatusCodes.Status202Accepted);
        }

        if (refusal == MeasuringWorkers.Busy)
            http.Response.Headers.RetryAfter = work.Value.RetryAfterSeconds.ToString();
        return Problems.From(refusal);
    }

    private static async Task<IResult> Assign(string id, string sha256, HttpContext http, DeliveryService desk)
    {
        if (!(await JsonBody.Read(http, MostBytes)).TryGet(out var json, out var refusal) || !JsonBody.As<PhotoPlace>(json).TryGet(out var place, out refusal))
            return Problems.From(refusal);
        return (await desk.Assign(id, sha256, place, Caller.NameOf(http))).TryGet(out var photo, out refusal) ? Json(PhotoAnswer.From(photo)) : Problems.From(refusal);
    }

    private static DeliveryAnswer Answer(StoredDelivery stored, DeliveryStore store, DeliveryPhotoStore photos) => new(
        stored.Id, stored.CreatedUtc, stored.CreatedBy, stored.Delivery, store.Pieces(stored.Id), [.. photos.Of(stored.Id).Select(PhotoAnswer.From)],
        $"/v1/deliveries/{stored.Id}/report.json");

    internal static IResult Json<T>(T answer, int status = 200) => Results.Json(answer, ContractJson.Options, statusCode: status);

    internal sealed record DeliveryAnswer(
        string Id, DateTimeOffset CreatedUtc, string CreatedBy, Delivery Delivery, IReadOnlyList<Piece> Pieces, IReadOnlyList<PhotoAnswer> Photos, string Report);

    internal sealed record DeliveryLine(string Id, DateTimeOffset CreatedUtc, string CreatedBy, Delivery Delivery);

    internal sealed record DeliveryPage(IReadOnlyList<DeliveryLine> Deliveries, string? Before);
}

/// <summary>A photo of a delivery, as answered.</summary>
internal sealed record PhotoAnswer(
    string Sha256, string FileName, PhotoState State, PhotoPlace? Place, SortedBy? SortedBy, PhotoProblem? Problem, string? Measurement)
{
    public static PhotoAnswer From(DeliveryPhoto photo) => new(
        photo.Sha256, photo.FileName, photo.State, photo.Place, photo.SortedBy, photo.Problem, photo.MeasurementId is { } id ? $"/v1/measurements/{id}" : null);
}
