using System.Text;
using System.Text.Json;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring;
using GrainVision.Service.Measurements;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.Net.Http.Headers;

namespace GrainVision.Service.Uploads;

/// <summary>A received upload: the photo's bytes and what was asked of them.</summary>
/// <param name="Photo">The file as received.</param>
/// <param name="Request">The request, read.</param>
/// <param name="RequestJson">The request as received.</param>
internal sealed record Upload(ReadOnlyMemory<byte> Photo, MeasuringRequest Request, string RequestJson);

/// <summary>
/// Reads <c>multipart/form-data</c> with the parts <c>photo</c> and <c>request</c>, counting bytes as they come: a body that is
/// too long is refused before it is held, whether or not it says its length.
/// </summary>
internal static class UploadReader
{
    /// <summary>256 KB: a request with an outline is well under a kilobyte.</summary>
    private const int MostRequestBytes = 256 * 1024;

    /// <summary>16: parts of a form; two are needed.</summary>
    private const int MostParts = 16;

    /// <summary>64 KB: about what arrives at a time.</summary>
    private const int Step = 64 * 1024;

    public static async Task<Outcome<Upload>> Read(HttpRequest http, long mostPhotoBytes, CancellationToken cancel)
    {
        if (Boundary(http.ContentType) is not { } boundary)
        {
            return RefusalCatalog.MultipartExpected.Because("The request is not multipart/form-data.", "Send the photo as part 'photo' and the request as part 'request'.");
        }

        ReadOnlyMemory<byte>? photo = null;
        ReadOnlyMemory<byte>? json = null;
        var ignored = new List<string>();
        try
        {
            var reader = new MultipartReader(boundary, http.Body);
            for (var parts = 0; await reader.ReadNextSectionAsync(cancel) is { } section; parts++)
            {
                if (parts == MostParts)
                    return RefusalCatalog.TooManyParts.Because("The form has too many parts.");
                var name = PartName(section);
                var limit = name == "photo" ? mostPhotoBytes : MostRequestBytes;
                if (await ReadAll(section.Body, limit, name == "photo" ? http.ContentLength : null, cancel) is not { } bytes)
                    return name == "photo" ? PhotoTooLarge(mostPhotoBytes) : PartTooLarge;
                if (name == "photo" && photo is null)
                    photo = bytes;
                else if (name == "request" && json is null)
                    json = bytes;
                else if (name is "photo" or "request")
                    return RefusalCatalog.PartTwice.Because($"The part '{name}' is there more than once.");
                else
                    ignored.Add(name ?? "");
            }
        }
        catch (Exception e) when (e is InvalidDataException || (e is IOException && e is not BadHttpRequestException))
        {
            return RefusalCatalog.MultipartBroken.Because("The form ends early or is broken.", RefusalCatalog.PhotoMissing.Advice);
        }

        if (photo is null)
            return RefusalCatalog.PhotoMissing.Because("The form has no part 'photo'.");
        if (json is null)
            return RefusalCatalog.RequestMissing.Because("The form has no part 'request'.");
        var text = Encoding.UTF8.GetString(json.Value.Span).TrimStart('\uFEFF');
        return RequestReader.Read(text).TryGet(out var request, out var unreadable) ? new Upload(photo.Value, request with { IgnoredParts = ignored }, text) : unreadable;
    }

    private static string? Boundary(string? contentType) =>
        MediaTypeHeaderValue.TryParse(contentType, out var type) && type.MediaType.Equals("multipart/form-data", StringComparison.OrdinalIgnoreCase)
            && HeaderUtilities.RemoveQuotes(type.Boundary).Value is { Length: > 0 and <= 200 } boundary ? boundary : null;

    private static string? PartName(MultipartSection section)
    {
        if (ContentDispositionHeaderValue.TryParse(section.ContentDisposition, out var disposition) && HeaderUtilities.RemoveQuotes(disposition.Name).Value is { Length: > 0 } name)
            return name;
        // Some clients send the request as a nameless part of its own type.
        return MediaTypeHeaderValue.TryParse(section.ContentType, out var type) && type.MediaType.Equals("application/json", StringComparison.OrdinalIgnoreCase) ? "request" : null;
    }

    /// <summary>The whole part, or null where it is longer than <paramref name="most"/>.</summary>
    private static async Task<ReadOnlyMemory<byte>?> ReadAll(Stream body, long most, long? likely, CancellationToken cancel)
    {
        // Sized once from Content-Length: growing by doubling would hold a large photo twice over.
        var held = new byte[Math.Max(Step, Math.Min(likely ?? 0, most) + 1)];
        var length = 0;
        while (true)
        {
            if (length == held.Length)
                Array.Resize(ref held, (int)Math.Min(most + 1, held.Length * 2L));
            var n = await body.ReadAsync(held.AsMemory(length), cancel);
            if (n == 0)
                return held.AsMemory(0, length);
            length += n;
            if (length > most)
                return null;
        }
    }

    private static Refusal PhotoTooLarge(long most) => RefusalCatalog.PhotoTooLarge.Because($"The photo is larger than {most / 1_000_000} MB.", "Send the photo as JPEG at normal quality, or at a lower resolution.");

    private static Refusal PartTooLarge { get; } = RefusalCatalog.PartTooLarge.Because($"A part of the form other than the photo is larger than {MostRequestBytes / 1024} KB.");
}
