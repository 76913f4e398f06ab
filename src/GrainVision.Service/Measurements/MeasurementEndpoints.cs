using System.Text;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Records.Measurements;
using GrainVision.Service.Guard;
using GrainVision.Service.Http;
using GrainVision.Service.Uploads;
using Microsoft.Extensions.Options;
using Microsoft.Net.Http.Headers;

namespace GrainVision.Service.Measurements;

/// <summary>One photo in, one measurement out; measurements and their pictures by id.</summary>
internal static class MeasurementEndpoints
{
    public const string KeyHeader = "Idempotency-Key";

    private static readonly Refusal NoSuch = RefusalCatalog.MeasurementUnknown.Because("There is no measurement of that id.", "Check the id; it is the 'id' of the answer to POST /v1/measurements.");

    public static void MapMeasurements(this WebApplication app)
    {
        var group = app.MapGroup("/v1/measurements").WithTags("Measurements");
        group.MapPost("", Measure)
            .WithName("Measure").WithSummary("Measures one photo of an end or a face.")
            .WithDescription("multipart/form-data: photo=<file>, request=<json>. Answers with the measurement; Idempotency-Key makes a repeat harmless.")
            .Accepts<MeasurementForm>("multipart/form-data").Produces<Measurement>().ProducesProblems(400, 401, 404, 409, 413, 415, 422, 429, 503);
        group.MapGet("{id}", Get)
            .WithName("GetMeasurement").WithSummary("A measurement as it was answered.").Produces<Measurement>().ProducesProblems(401, 404);
        group.MapGet("{id}/picture", GetPicture)
            .WithName("GetPicture").WithSummary("Its annotated picture.").Produces<Stream>(200, "image/jpeg").ProducesProblems(401, 404);
    }

    /// <summary>The Idempotency-Key as sent; null where there is none.</summary>
    public static string? KeyOf(HttpContext http) => http.Request.Headers.TryGetValue(KeyHeader, out var sent) ? sent.ToString() : null;

    private static async Task<IResult> Measure(HttpContext http, UploadLimiter gate, MeasuringWorkers workers, MeasurementService desk, IOptions<WorkOptions> work)
    {
        // Turned away before the upload where that is known already: a phone should not send 5 MB for nothing.
        using var pass = workers.IsFull ? null : gate.TryEnter();
        if (pass is null)
            return Busy(http, work.Value);
        if (!(await UploadReader.Read(http.Request, IntakeLimits.Default.MaxBytes, http.RequestAborted)).TryGet(out var upload, out var refusal))
            return Problems.From(refusal);
        if ((await desk.Measure(upload, Caller.NameOf(http), KeyOf(http), http.RequestAborted)).TryGet(out var stored, out refusal))
            return Answer(http, stored);
        return refusal == MeasuringWorkers.Busy ? Busy(http, work.Value) : Problems.From(refusal);
    }

    private static IResult Get(string id, HttpContext http, MeasurementStore store) =>
        store.Find(id) is { } found ? Answer(http, found) : Problems.From(NoSuch);

    private static IResult GetPicture(string id, HttpContext http, MeasurementStore store, Vaults vaults)
    {
        if (store.Find(id) is not { } found || vaults.Pictures.Read(found.PictureSha256) is not { } bytes)
            return Problems.From(NoSuch);
        http.Response.Headers.CacheControl = "private, max-age=31536000, immutable"; // a recorded picture never changes
        return Results.File(bytes, found.PictureType, entityTag: new EntityTagHeaderValue($"\"{found.PictureSha256}\""));
    }

    private static IResult Answer(HttpContext http, StoredMeasurement stored)
    {
        http.Response.Headers.Location = $"/v1/measurements/{stored.Id}";
        return Results.Content(stored.MeasurementJson, "application/json", Encoding.UTF8);
    }

    private static IResult Busy(HttpContext http, WorkOptions options)
    {
        http.Response.Headers.RetryAfter = options.RetryAfterSeconds.ToString();
        return Problems.From(MeasuringWorkers.Busy);
    }

    /// <summary>The form, for the OpenAPI document only: the body is read by <see cref="UploadReader"/>.</summary>
    internal sealed record MeasurementForm(IFormFile Photo, MeasuringRequest Request);
}
