using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.Net.Http.Headers;

namespace GrainVision.Service.Api;

/// <summary>A received upload: the photo's bytes and what was asked of them.</summary>
/// <param name="Photo">The file as received.</param>
/// <param name="Request">The request, read.</param>
/// <param name="RequestJson">The request as received.</param>
internal sealed record Upload(byte[] Photo, MeasuringRequest Request, string RequestJson);

/// <summary>
/// Reads <c>multipart/form-data</c> with the parts <c>photo</c> and <c>request</c>, counting bytes as they come: a body that is
/// too long is refused before it is held.
/// </summary>
internal static class UploadReader
{
    /// <summary>256 KB: a request with an outline is well under a kilobyte.</summary>
    private const int MostRequestBytes = 256 * 1024;

    /// <summary>16: parts of a form; two are needed.</summary>
    private const int MostParts = 16;

    public static async Task<Outcome<Upload>> Read(HttpRequest http, long mostPhotoBytes, CancellationToken cancel)
    {
        if (!MediaTypeHeaderValue.TryParse(http.ContentType, out var type) || !type.MediaType.Equals("multipart/form-data", StringComparison.OrdinalIgnoreCase)
            || HeaderUtilities.RemoveQuotes(type.Boundary).Value is not { Length: > 0 and <= 200 } boundary)
        {
            return new Refusal(
                "multipart-expected", "request", 415, "The request is not multipart/form-data.", "Send the photo as part 'photo' and the request as part 'request'.");
        }

        byte[]? photo = null;
        string? json = null;
        try
        {
            var reader = new MultipartReader(boundary, http.Body);
            for (var parts = 0; await reader.ReadNextSectionAsync(cancel) is { } section; parts++)
            {
                if (parts == MostParts)
                    return Bad("too-many-parts", "The form has too many parts.");
                var name = PartName(section);
                var limit = name == "photo" ? mostPhotoBytes : MostRequestBytes;
                if (await ReadAll(section.Body, limit, cancel) is not { } bytes)
                    return name == "photo" ? PhotoTooLarge(mostPhotoBytes) : Bad("request-too-large", "A part of the form is too large.");
                if (name == "photo" && photo is null)
                    photo = bytes;
                else if (name == "request" && json is null)
                    json = Encoding.UTF8.GetString(bytes);
                else if (name is "photo" or "request")
                    return Bad("part-twice", $"The part '{name}' is there more than once.");
            }
        }
        catch (Exception e) when (e is InvalidDataException || (e is IOException && e is not BadHttpRequestException))
        {
            return Bad("multipart-broken", "The form ends early or is broken.");
        }

        if (photo is null)
            return Bad("photo-missing", "The form has no part 'photo'.");
        if (json is null)
            return Bad("request-missing", "The form has no part 'request'.");
        return Parse(photo, json);
    }

    private static Outcome<Upload> Parse(byte[] photo, string json)
    {
        try
        {
            var request = JsonSerializer.Deserialize<MeasuringRequest>(json, ContractJson.Options);
            return request is null
                ? Bad("request-unreadable", "The request is null.")
                : new Upload(photo, request, json);
        }
        catch (Exception e) when (e is JsonException or NotSupportedException)
        {
            var where = e is JsonException { Path: { Length: > 0 } path } ? $" at {path}" : "";
            return Bad("request-unreadable", $"The request is not the JSON that is expected{where}.");
        }
    }

    private static string? PartName(MultipartSection section)
    {
        if (ContentDispositionHeaderValue.TryParse(section.ContentDisposition, out var disposition) && HeaderUtilities.RemoveQuotes(disposition.Name).Value is { Length: > 0 } name)
            return name;
        // Some clients send the request as a nameless part of its own type.
        return MediaTypeHeaderValue.TryParse(section.ContentType, out var type) && type.MediaType.Equals("application/json", StringComparison.OrdinalIgnoreCase) ? "request" : null;
    }

    private static async Task<byte[]?> ReadAll(Stream body, long most, CancellationToken cancel)
    {
        using var held = new MemoryStream();
        var buffer = new byte[81_920];
        int n;
        while ((n = await body.ReadAsync(buffer, cancel)) > 0)
        {
            if (held.Length + n > most)
                return null;
            held.Write(buffer, 0, n);
        }

        return held.ToArray();
    }

    private static Refusal PhotoTooLarge(long most) => new(
        "photo-too-large", "intake", 413, $"The photo is larger than {most / 1_000_000} MB.", "Send the photo as JPEG at normal quality, or at a lower resolution.");

    private static Refusal Bad(string code, string message) => new(
        code, "request", 400, message,
        "Send multipart/form-data with photo=<file> and request={\"view\":\"end\"|\"face\", \"scale\":{\"kind\":\"auto\"}, ...}; see /swagger.");
}
