using GrainVision.Grading.Refusals;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.Net.Http.Headers;

namespace GrainVision.Service.Uploads;

/// <summary>One part of a form, as it comes in.</summary>
/// <param name="Name">Name of the field; null where the part has none.</param>
/// <param name="FileName">As sent; empty where the part is no file.</param>
/// <param name="IsJson">The part says of itself that it is JSON.</param>
/// <param name="Body">Read once, before the next part.</param>
internal sealed record UploadPart(string? Name, string FileName, bool IsJson, Stream Body);

/// <summary>A request that is <c>multipart/form-data</c>, read part by part as it comes and never held whole.</summary>
/// <param name="http">The request; nothing is read of it until <see cref="ReadParts"/>.</param>
/// <param name="advice">What to send, for whoever sent something else.</param>
internal sealed class MultipartForm(HttpRequest http, string advice)
{
    /// <summary>COR_E_IO, what the form's reader and the connection report; a full disk has the system's own number, and is not the sender's fault.</summary>
    private const int EndsEarly = unchecked((int)0x80131620);

    /// <summary>200 characters: longest boundary; RFC 2046 allows 70.</summary>
    private const int LongestBoundary = 200;

    /// <summary>Bytes of the whole body as the sender says; null where it does not.</summary>
    public long? StatedBytes => http.ContentLength;

    /// <summary>Hands out each part in turn until one is refused; null where all were taken.</summary>
    public async Task<Refusal?> ReadParts(Func<UploadPart, Task<Refusal?>> take, CancellationToken cancel)
    {
        if (Boundary() is not { } boundary)
            return RefusalCatalog.MultipartExpected.Because("The request is not multipart/form-data.", advice);
        try
        {
            var reader = new MultipartReader(boundary, http.Body) { BodyLengthLimit = null };
            while (await reader.ReadNextSectionAsync(cancel) is { } section)
            {
                if (await take(Part(section)) is { } refusal)
                    return refusal;
            }

            return null;
        }
        catch (Exception e) when (e is InvalidDataException || (e is IOException { HResult: EndsEarly } && e is not BadHttpRequestException))
        {
            return RefusalCatalog.MultipartBroken.Because("The form ends early or is broken.", advice);
        }
    }

    private string? Boundary() =>
        MediaTypeHeaderValue.TryParse(http.ContentType, out var type) && type.MediaType.Equals("multipart/form-data", StringComparison.OrdinalIgnoreCase)
            && HeaderUtilities.RemoveQuotes(type.Boundary).Value is { Length: > 0 and <= LongestBoundary } boundary ? boundary : null;

    private static UploadPart Part(MultipartSection section)
    {
        var disposition = ContentDispositionHeaderValue.TryParse(section.ContentDisposition, out var read) ? read : null;
        var name = HeaderUtilities.RemoveQuotes(disposition?.Name ?? default).Value;
        // FileNameStar is the UTF-8 form of RFC 5987 that clients send for names beyond ASCII.
        var star = disposition?.FileNameStar.Value;
        var fileName = string.IsNullOrEmpty(star) ? HeaderUtilities.RemoveQuotes(disposition?.FileName ?? default).Value ?? "" : star;
        var isJson = MediaTypeHeaderValue.TryParse(section.ContentType, out var type) && type.MediaType.Equals("application/json", StringComparison.OrdinalIgnoreCase);
        return new UploadPart(string.IsNullOrEmpty(name) ? null : name, fileName, isJson, section.Body);
    }
}
