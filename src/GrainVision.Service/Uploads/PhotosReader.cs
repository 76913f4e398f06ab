using GrainVision.Grading.Refusals;
using GrainVision.Records.Photos;
using GrainVision.Service.Deliveries;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.Net.Http.Headers;

namespace GrainVision.Service.Uploads;

/// <summary>
/// Reads an upload of many photos, or of one zip of them, straight to disk. A zip is known by its first bytes, not by its name; a part
/// or a zip's entry named <c>manifest.csv</c>, or a form field <c>manifest</c>, is the manifest.
/// </summary>
internal static class PhotosReader
{
    /// <summary>COR_E_IO, what the form's reader and the connection report; a full disk has the system's own number, and is not the sender's fault.</summary>
    private const int EndsEarly = unchecked((int)0x80131620);

    private static readonly Refusal NoMultipart = RefusalCatalog.MultipartExpected.Because("The request is not multipart/form-data.");

    private static readonly Refusal Broken = RefusalCatalog.MultipartBroken.Because("The form ends early or is broken.");

    private static readonly Refusal Nothing = RefusalCatalog.PhotosMissing.Because("The form has no photo in it.");

    private static readonly Refusal Mixed = RefusalCatalog.ZipNotAlone.Because("A zip came together with other files.");

    /// <summary>Fills <paramref name="into"/>; null where all went well.</summary>
    public static async Task<Refusal?> Read(HttpRequest http, ReceivedPhotos into, ContentAddressedStore vault, DeliveryOptions options, CancellationToken cancel)
    {
        if (!MediaTypeHeaderValue.TryParse(http.ContentType, out var type) || !type.MediaType.Equals("multipart/form-data", StringComparison.OrdinalIgnoreCase)
            || HeaderUtilities.RemoveQuotes(type.Boundary).Value is not { Length: > 0 and <= 200 } boundary)
            return NoMultipart;
        try
        {
            var reader = new MultipartReader(boundary, http.Body) { BodyLengthLimit = null };
            using var zip = new Holder();
            while (await reader.ReadNextSectionAsync(cancel) is { } section)
            {
                if (await Take(section, into, zip, vault, options, cancel) is { } refusal)
                    return refusal;
            }

            if (zip.File is { } file && await ZipPhotos.Unpack(file, into, options, cancel) is { } unfit)
                return unfit;
        }
        catch (Exception e) when (e is InvalidDataException || (e is IOException { HResult: EndsEarly } && e is not BadHttpRequestException))
        {
            return Broken;
        }

        into.CheckManifest();
        return into.Count == 0 ? Nothing : null;
    }

    private static async Task<Refusal?> Take(
        MultipartSection section, ReceivedPhotos into, Holder zip, ContentAddressedStore vault, DeliveryOptions options, CancellationToken cancel)
    {
        var disposition = ContentDispositionHeaderValue.TryParse(section.ContentDisposition, out var read) ? read : null;
        var field = HeaderUtilities.RemoveQuotes(disposition?.Name ?? default).Value ?? "";
        // FileNameStar is the UTF-8 form of RFC 5987 that clients send for names beyond ASCII.
        var star = disposition?.FileNameStar.Value;
        var name = string.IsNullOrEmpty(star) ? HeaderUtilities.RemoveQuotes(disposition?.FileName ?? default).Value ?? "" : star;
        var head = new byte[ZipPhotos.SignatureBytes];
        var n = await section.Body.ReadAtLeastAsync(head, head.Length, throwOnEndOfStream: false, cancel);
        var start = head.AsMemory(0, n);
        if (field == "manifest" || ReceivedPhotos.IsManifest(name))
            return await into.AddManifest(start, section.Body, cancel);
        if (name.Length == 0)
            return RefusalCatalog.PartUnknown.Because($"The form field '{field}' is not known.");
        if (!ZipPhotos.IsZip(start.Span))
            return zip.File is null ? await into.Add(name, start, section.Body, cancel) : Mixed;
        if (zip.File is not null || into.Count > 0)
            return Mixed;
        zip.File = await vault.Stage(start, section.Body, options.MostBytes, cancel);
        return zip.File is null ? ReceivedPhotos.TooManyBytes(options.MostBytes) : null;
    }

    /// <summary>The zip of the upload, removed from disk when the upload was read.</summary>
    private sealed class Holder : IDisposable
    {
        public StagedFile? File { get; set; }

        public void Dispose() => File?.Dispose();
    }
}
