using GrainVision.Grading.Findings;
using GrainVision.Measuring;
using GrainVision.Records.Measurements;
using GrainVision.Service.Http;
using GrainVision.Service.Storage;
using GrainVision.Service.Uploads;
using Microsoft.Extensions.Options;
using Microsoft.Net.Http.Headers;

namespace GrainVision.Service.Measurements;

/// <summary>One photo in, one measurement out; measurements and their pictures by id.</summary>
internal static class MeasurementEndpoints
{
    public static void MapMeasurements(this WebApplication app)
    {
        var group = app.MapGroup("/v1/measurements").WithTags("Measurements");
        group.MapPost("", Measure).HonoursIdempotencyKey()
            .WithName("Measure").WithSummary("Measures one photo of an end or a face.")
            .WithDescription("multipart/form-data: photo=<file>, request=<json>. Answers with the measurement; Idempotency-Key makes a repeat harmless.")
            .Accepts<MeasureForm>("multipart/form-data").Produces<Measurement>().ProducesProblems(400, 401, 404, 409, 413, 415, 422, 429, 503);
        group.MapGet("{id}", Get)
            .WithName("GetMeasurement").WithSummary("A measurement as it was answered.").Produces<Measurement>().ProducesProblems(401, 404);
        group.MapGet("{id}/picture", GetPicture)
            .WithName("GetPicture").WithSummary("Its annotated picture.").Produces<Stream>(200, "image/jpeg").ProducesProblems(401, 404);
    }

    private static async Task<IResult> Measure(HttpContext http, ConcurrentUploadLimiter uploads, MeasuringWorkers workers, MeasurementService measurements, IOptions<WorkOptions> work)
    {
        // Turned away before the upload where that is known already: a phone should not send 5 MB for nothing.
        using var pass = workers.IsFull ? null : uploads.TryEnter();
        if (pass is null)
            return Problems.Busy(http, MeasuringWorkers.Busy, work.Value.RetryAfterSeconds);
        var form = new MeasurementForm(new MultipartForm(http.Request, MeasurementForm.Advice));
        if (!(await form.Read(http.RequestAborted)).TryGet(out var order, out var refusal))
            return Problems.From(refusal);
        if ((await measurements.Measure(order, IdempotencyKeys.From(http), http.RequestAborted)).TryGet(out var stored, out refusal))
            return Recorded(http, stored);
        return refusal == MeasuringWorkers.Busy ? Problems.Busy(http, refusal, work.Value.RetryAfterSeconds) : Problems.From(refusal);
    }

    private static IResult Get(string id, HttpContext http, MeasurementService measurements) =>
        measurements.Find(id).TryGet(out var found, out var unknown) ? Recorded(http, found) : Problems.From(unknown);

    private static IResult GetPicture(string id, HttpContext http, MeasurementService measurements, ContentStores stores)
    {
        if (!measurements.Find(id).TryGet(out var found, out var unknown))
            return Problems.From(unknown);
        if (stores.Pictures.Read(found.PictureSha256) is not { } bytes)
            return Problems.From(MeasurementService.Unknown);
        http.Response.Headers.CacheControl = "private, max-age=31536000, immutable"; // a recorded picture never changes
        return Results.File(bytes, found.PictureType, entityTag: new EntityTagHeaderValue($"\"{found.PictureSha256}\""));
    }

    private static IResult Recorded(HttpContext http, StoredMeasurement stored)
    {
        http.Response.Headers.Location = $"/v1/measurements/{stored.Id}";
        return Answer.Written(stored.MeasurementJson);
    }

    /// <summary>The form, for the OpenAPI document only: the body is read by <see cref="MeasurementForm"/>.</summary>
    internal sealed record MeasureForm(IFormFile Photo, MeasuringRequest Request);
}
