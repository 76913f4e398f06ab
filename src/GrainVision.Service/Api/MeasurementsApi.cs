using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Records.Measurements;
using GrainVision.Records.Photos;
using GrainVision.Service.Guard;
using GrainVision.Service.Work;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Api;

/// <summary>One photo in, one measurement out; measurements and their pictures by id.</summary>
internal static class MeasurementsApi
{
    private const string KeyHeader = "Idempotency-Key";

    /// <summary>200: longest idempotency key, characters.</summary>
    private const int LongestKey = 200;

    public static void MapMeasurements(this WebApplication app)
    {
        var group = app.MapGroup("/v1/measurements").WithTags("Measurements");
        group.MapPost("", Measure)
            .WithName("Measure").WithSummary("Measures one photo of an end or a face.")
            .WithDescription("multipart/form-data: photo=<file>, request=<json>. Answers with the measurement; Idempotency-Key makes a repeat harmless.")
            .Accepts<MeasurementForm>("multipart/form-data").Produces<Measurement>().ProducesProblems(400, 404, 409, 413, 415, 422, 429, 503);
        group.MapGet("{id}", Get).WithName("GetMeasurement").WithSummary("A measurement as it was answered.").Produces<Measurement>().ProducesProblems(404);
        group.MapGet("{id}/picture", GetPicture).WithName("GetPicture").WithSummary("Its annotated picture.")
            .Produces(200, contentType: "image/jpeg").ProducesProblems(404);
    }

    private static async Task<IResult> Measure(
        HttpContext http, Bookshelf shelf, MeasuringWorkers workers, UploadGate gate, MeasurementStore store, Vaults vaults,
        IOptions<WorkOptions> work, TimeProvider time)
    {
        using var pass = workers.IsFull ? null : gate.TryEnter();
        if (pass is null)
            return Busy(http, work.Value);
        if (!(await UploadReader.Read(http.Request, IntakeLimits.Default.MaxBytes, http.RequestAborted)).Is(out var upload, out var refusal))
            return Problems.Of(refusal);
        var keyText = http.Request.Headers[KeyHeader].ToString();
        if (keyText.Length > LongestKey)
            return Problems.Of(new Refusal("idempotency-key-too-long", "request", 400, "The Idempotency-Key is too long.", $"Use at most {LongestKey} characters."));
        var key = keyText.Length == 0 ? null : new IdempotencyKey(Caller.NameOf(http), keyText, HashOf(upload));
        if (key is not null && store.FindByKey(key, out var same) is { } first)
            return Repeat(http, first, same);

        RuleBook? book = null;
        if (upload.Request.RuleBook is { } id && !shelf.Books.Find(id).Is(out book, out refusal))
            return Problems.Of(refusal);
        var outcome = await workers.Run(stop => MeasureJob.Run(upload.Photo, upload.Request, book, IntakeLimits.Default, stop), http.RequestAborted);
        if (!outcome.Is(out var measured, out refusal))
            return refusal == MeasuringWorkers.Busy ? Busy(http, work.Value) : Problems.Of(refusal);
        return Keep(http, upload, measured, key, store, vaults, time);
    }

    private static IResult Keep(
        HttpContext http, Upload upload, MeasuredPhoto measured, IdempotencyKey? key, MeasurementStore store, Vaults vaults, TimeProvider time)
    {
        var now = time.GetUtcNow();
        var id = Guid.CreateVersion7(now).ToString("N");
        var measurement = measured.Measurement with { Id = id, Picture = $"/v1/measurements/{id}/picture" };
        var json = JsonSerializer.Serialize(measurement, ContractJson.Options);
        // Files first, then the row that names them: a crash in between leaves a spare file, never a row without its photo.
        vaults.Photos.Put(upload.Photo);
        var picture = vaults.Pictures.Put(measured.PictureBytes);
        var stored = new StoredMeasurement(id, now, measurement.Photo.Sha256, picture, measured.PictureContentType, upload.RequestJson, json);
        if (!store.TryAdd(stored, key) && key is not null && store.FindByKey(key, out var same) is { } first)
            return Repeat(http, first, same);
        return Answer(http, stored);
    }

    private static IResult Get(string id, HttpContext http, MeasurementStore store) => store.Find(id) is { } found ? Answer(http, found) : NoSuch();

    private static IResult GetPicture(string id, HttpContext http, MeasurementStore store, Vaults vaults)
    {
        if (store.Find(id) is not { } found || vaults.Pictures.Read(found.PictureSha256) is not { } bytes)
            return NoSuch();
        http.Response.Headers.CacheControl = "private, max-age=31536000, immutable";
        return Results.File(bytes, found.PictureType, entityTag: new Microsoft.Net.Http.Headers.EntityTagHeaderValue($"\"{found.PictureSha256}\""));
    }

    private static IResult Answer(HttpContext http, StoredMeasurement stored)
    {
        http.Response.Headers.Location = $"/v1/measurements/{stored.Id}";
        return Results.Content(stored.MeasurementJson, "application/json", Encoding.UTF8);
    }

    private static IResult Repeat(HttpContext http, StoredMeasurement first, bool same) => same
        ? Answer(http, first)
        : Problems.Of(new Refusal(
            "idempotency-key-reused", "request", 409, "This Idempotency-Key was used for another photo or request.", "Use a new key for every new request."));

    private static IResult Busy(HttpContext http, WorkOptions options)
    {
        http.Response.Headers.RetryAfter = options.RetryAfterSeconds.ToString();
        return Problems.Of(MeasuringWorkers.Busy);
    }

    private static IResult NoSuch() => Problems.Of(new Refusal(
        "measurement-unknown", "request", 404, "There is no measurement of that id.", "Check the id; it is the 'id' of the answer to POST /v1/measurements."));

    private static string HashOf(Upload upload)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        hash.AppendData(SHA256.HashData(upload.Photo));
        hash.AppendData(Encoding.UTF8.GetBytes(upload.RequestJson));
        return Convert.ToHexStringLower(hash.GetHashAndReset());
    }

    /// <summary>The form, for the OpenAPI document only: the body is read by <see cref="UploadReader"/>.</summary>
    internal sealed record MeasurementForm(IFormFile Photo, MeasuringRequest Request);
}
