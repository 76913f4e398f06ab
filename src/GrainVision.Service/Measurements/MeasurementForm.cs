using System.Text;
using GrainVision.Grading.Refusals;
using GrainVision.Service.Uploads;

namespace GrainVision.Service.Measurements;

/// <summary>
/// A form with the parts <c>photo</c> and <c>request</c>, its bytes counted as they come: a photo that is too long is refused before it is held,
/// whether or not the form says its length.
/// </summary>
internal sealed class MeasurementForm(MultipartForm form)
{
    /// <summary>What to send.</summary>
    public static string Advice => RefusalCatalog.PhotoMissing.Advice;

    /// <summary>64 KB: about what arrives at a time.</summary>
    private const int StepBytes = 64 * 1024;

    private static readonly Refusal PartTooLarge = RefusalCatalog.PartTooLarge.Because($"A part of the form other than the photo is larger than {PhotoFormLimits.MostPartBytes / 1024} KB.");

    private static readonly Refusal PhotoTooLarge = RefusalCatalog.PhotoTooLarge.Because(
        $"The photo is larger than {PhotoFormLimits.MostPhotoBytes / 1_000_000} MB.", "Send the photo as JPEG at normal quality, or at a lower resolution.");

    private readonly List<string> _ignored = [];
    private ReadOnlyMemory<byte>? _photo;
    private ReadOnlyMemory<byte>? _request;
    private int _parts;

    /// <summary>Reads the whole form.</summary>
    public async Task<Outcome<MeasuringOrder>> Read(CancellationToken cancel)
    {
        if (await form.ReadParts(part => Take(part, cancel), cancel) is { } refusal)
            return refusal;
        if (_photo is not { } photo)
            return RefusalCatalog.PhotoMissing.Because("The form has no part 'photo'.");
        if (_request is not { } request)
            return RefusalCatalog.RequestMissing.Because("The form has no part 'request'.");
        var json = Encoding.UTF8.GetString(request.Span).TrimStart('\uFEFF');
        return RequestReader.Read(json).TryGet(out var read, out var unreadable) ? new MeasuringOrder(photo, read with { IgnoredParts = [.. _ignored.Distinct()] }, json) : unreadable;
    }

    private async Task<Refusal?> Take(UploadPart part, CancellationToken cancel)
    {
        if (_parts++ == PhotoFormLimits.MostParts)
            return RefusalCatalog.TooManyParts.Because("The form has too many parts.");
        // Some clients send the request as a nameless part of its own type.
        var name = part.Name ?? (part.IsJson ? "request" : "");
        var isPhoto = name == "photo";
        if (await ReadAll(part.Body, isPhoto ? PhotoFormLimits.MostPhotoBytes : PhotoFormLimits.MostPartBytes, isPhoto ? form.StatedBytes : null, cancel) is not { } bytes)
            return isPhoto ? PhotoTooLarge : PartTooLarge;
        if (isPhoto && _photo is null)
            _photo = bytes;
        else if (name == "request" && _request is null)
            _request = bytes;
        else if (name is "photo" or "request")
            return RefusalCatalog.PartTwice.Because($"The part '{name}' is there more than once.");
        else
            _ignored.Add(name);
        return null;
    }

    /// <summary>The whole part, or null where it is longer than <paramref name="most"/>.</summary>
    private static async Task<ReadOnlyMemory<byte>?> ReadAll(Stream body, long most, long? likely, CancellationToken cancel)
    {
        // Sized once from Content-Length: growing by doubling would hold a large photo twice over.
        var held = new byte[Math.Max(StepBytes, Math.Min(likely ?? 0, most) + 1)];
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
}
