using GrainVision.Grading.Refusals;
using GrainVision.Records.Photos;
using GrainVision.Service.Uploads;

namespace GrainVision.Service.Deliveries;

/// <summary>
/// An upload of many photos, or of one zip of them, straight to disk. A zip is known by its first bytes, not by its name; a part
/// or a zip's entry named <c>manifest.csv</c>, or a form field <c>manifest</c>, is the manifest.
/// </summary>
internal sealed class PhotosForm(ReceivedPhotos into, ContentAddressedStore store, UploadSizeLimits limits) : IDisposable
{
    /// <summary>What to send.</summary>
    public static string Advice => RefusalCatalog.PhotosMissing.Advice;

    private static readonly Refusal Mixed = RefusalCatalog.ZipNotAlone.Because("A zip came together with other files.");

    private StagedFile? _zip;

    /// <summary>Reads the whole form; null where all went well.</summary>
    public async Task<Refusal?> Read(MultipartForm form, CancellationToken cancel)
    {
        if (await form.ReadParts(part => Take(part, cancel), cancel) is { } refusal)
            return refusal;
        if (_zip is { } zip && await ZipPhotos.Unpack(zip, into, limits, cancel) is { } unfit)
            return unfit;
        into.CheckManifest();
        return into.Count == 0 ? RefusalCatalog.PhotosMissing.Because("The form has no photo in it.") : null;
    }

    /// <summary>The zip is removed from disk: its photos are staged apart.</summary>
    public void Dispose() => _zip?.Dispose();

    private async Task<Refusal?> Take(UploadPart part, CancellationToken cancel)
    {
        var head = new byte[ZipPhotos.SignatureBytes];
        var n = await part.Body.ReadAtLeastAsync(head, head.Length, throwOnEndOfStream: false, cancel);
        var start = head.AsMemory(0, n);
        if (part.Name == "manifest" || ReceivedPhotos.IsManifest(part.FileName))
            return await into.AddManifest(start, part.Body, cancel);
        if (part.FileName.Length == 0)
            return RefusalCatalog.PartUnknown.Because($"The form field '{part.Name}' is not known.");
        if (!ZipPhotos.IsZip(start.Span))
            return _zip is null ? await into.Add(part.FileName, start, part.Body, cancel) : Mixed;
        if (_zip is not null || into.Count > 0)
            return Mixed;
        _zip = await store.Stage(start, part.Body, limits.MostBytes, cancel);
        return _zip is null ? ReceivedPhotos.TooManyBytes(limits.MostBytes) : null;
    }
}
