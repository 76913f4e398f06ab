using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;
using GrainVision.Service.Http;
using GrainVision.Service.Storage;

namespace GrainVision.Service.Measurements;

/// <summary>Photos by the hash of the file as received. What is served is a copy of the pixels alone; the file itself only with the right to it.</summary>
internal static class PhotoEndpoints
{
    /// <summary>64: hex digits of a SHA-256.</summary>
    private const int HashLength = 64;

    private static readonly Refusal NoSuch = RefusalCatalog.PhotoUnknown.Because("No photo of that hash is kept here.", "Check it: 'photo.sha256' of a measurement, 64 lower-case hex digits.");

    private static readonly Refusal NoRight = RefusalCatalog.OriginalsNotPermitted.Because("Photos as received may show where they were taken; this caller has no right to them.");

    public static void MapPhotos(this WebApplication app) =>
        app.MapGet("/v1/photos/{sha256}", Get).WithTags("Photos").WithName("GetPhoto")
            .WithSummary("A photo without its metadata; with ?original=true the file as received, for keys that may read it.")
            .Produces<Stream>(200, ServedPhoto.ContentType).ProducesProblems(401, 403, 404, 429, 503);

    private static async Task<IResult> Get(string sha256, HttpContext http, ContentStores stores, MeasuringWorkers workers)
    {
        var original = http.Request.Query["original"] == "true";
        if (original && !Caller.MayReadOriginals(http))
            return Problems.From(NoRight);
        if (sha256.Length != HashLength || !sha256.All(char.IsAsciiHexDigitLower) || stores.Photos.Read(sha256) is not { } bytes)
            return Problems.From(NoSuch);
        http.Response.Headers.CacheControl = "private, no-store"; // not left behind on a shared phone
        if (original)
            return Results.File(bytes, "application/octet-stream", sha256);
        var outcome = await workers.Run(stop => ServedPhoto.Make(bytes, IntakeLimits.Default, stop), http.RequestAborted);
        return outcome.TryGet(out var served, out var refusal) ? Results.File(served.Bytes, ServedPhoto.ContentType) : Problems.From(refusal);
    }
}
