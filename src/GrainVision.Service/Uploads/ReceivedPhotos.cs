using System.Globalization;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Photos;

namespace GrainVision.Service.Uploads;

/// <summary>Photos of one upload, on disk but not kept yet: what is not kept is removed when this is disposed.</summary>
internal sealed class ReceivedPhotos(ContentAddressedStore store, UploadSizeLimits limits) : IDisposable
{
    /// <summary>2 MB: a manifest of 10,000 rows has some 500 KB.</summary>
    public const int MostManifestBytes = 2_000_000;

    /// <summary>200 characters of a file name are shown.</summary>
    private const int LongestName = 200;

    private readonly List<(StagedFile File, string Name)> _photos = [];
    private long _bytes;
    private string _manifestText = "";

    public PhotoManifest? Manifest { get; private set; }

    public int Count => _photos.Count;

    /// <summary>All that the upload says: SHA-256 and name of every photo in the order they came, and the manifest.</summary>
    public IEnumerable<string> Content => _photos.SelectMany(p => new[] { p.File.Sha256, p.Name }).Append(_manifestText);

    /// <summary>What the sender should know, such as files that are no photos.</summary>
    public List<Warning> Warnings { get; } = [];

    /// <summary>True for a name that stands for the manifest.</summary>
    public static bool IsManifest(string name) => string.Equals(NameOnly(name), "manifest.csv", StringComparison.OrdinalIgnoreCase);

    /// <summary>Adds a photo from a stream; null where it was added.</summary>
    /// <param name="name">As sent.</param>
    /// <param name="head">What was read of it already.</param>
    /// <param name="rest">The rest of it.</param>
    /// <param name="cancel">The caller hung up.</param>
    public async Task<Refusal?> Add(string name, ReadOnlyMemory<byte> head, Stream rest, CancellationToken cancel)
    {
        if (_photos.Count == limits.MostPhotos)
            return TooManyPhotos(limits.MostPhotos);
        var shown = Shown(name);
        var most = Math.Min(PhotoFormLimits.MostPhotoBytes, limits.MostBytes - _bytes);
        if (await store.Stage(head, rest, most, cancel) is not { } staged)
        {
            return most < PhotoFormLimits.MostPhotoBytes
                ? TooManyBytes(limits.MostBytes)
                : RefusalCatalog.PhotoTooLarge.Because($"'{shown}' is larger than {PhotoFormLimits.MostPhotoBytes / 1_000_000} MB.", "Save it as JPEG at normal quality, or leave it out.");
        }

        _photos.Add((staged, shown));
        _bytes += staged.Length;
        return null;
    }

    /// <summary>Takes the manifest; null where it could be read.</summary>
    public async Task<Refusal?> AddManifest(ReadOnlyMemory<byte> head, Stream rest, CancellationToken cancel)
    {
        if (Manifest is not null)
            return RefusalCatalog.ManifestTwice.Because("There is more than one manifest.");
        using var held = new MemoryStream();
        held.Write(head.Span);
        var buffer = new byte[16_384];
        int n;
        while ((n = await rest.ReadAsync(buffer, cancel)) > 0)
        {
            if (held.Length + n > MostManifestBytes)
                return RefusalCatalog.ManifestTooLarge.Because($"The manifest is larger than {MostManifestBytes / 1_000_000} MB.");
            held.Write(buffer, 0, n);
        }

        _manifestText = System.Text.Encoding.UTF8.GetString(held.GetBuffer(), 0, (int)held.Length);
        if (!PhotoManifest.Read(_manifestText).TryGet(out var manifest, out var refusal))
            return refusal;
        Manifest = manifest;
        return null;
    }

    /// <summary>Keeps every photo for good. The rows that name them come after.</summary>
    public IReadOnlyList<ArrivedPhotoFile> Keep()
    {
        var kept = new List<ArrivedPhotoFile>();
        foreach (var (file, name) in _photos)
        {
            file.Keep();
            kept.Add(new ArrivedPhotoFile(file.Sha256, name, Manifest?.Find(name)));
        }

        return kept;
    }

    /// <summary>Warns of manifest rows that name no photo of this upload.</summary>
    public void CheckManifest()
    {
        if (Manifest is null)
            return;
        var here = _photos.SelectMany(p => new[] { p.Name.Replace('\\', '/'), NameOnly(p.Name) }).ToHashSet(StringComparer.OrdinalIgnoreCase);
        var unmatched = Manifest.Files.Where(f => !here.Contains(f)).ToList();
        if (unmatched.Count > 0)
        {
            var more = unmatched.Count > 5 ? " ..." : "";
            Warnings.Add(new Warning(
                WarningCode.ManifestFilesMissing, $"The manifest names {unmatched.Count} files that are not in this upload: {string.Join(", ", unmatched.Take(5))}{more}"));
        }
    }

    public void Dispose()
    {
        foreach (var (file, _) in _photos)
            file.Dispose();
    }

    public static Refusal TooManyPhotos(int most) => RefusalCatalog.TooManyPhotos.Because($"There are more than {most:N0} photos.");

    public static Refusal TooManyBytes(long most) => RefusalCatalog.UploadTooLarge.Because($"The upload holds more than {most / 1e9:0.##} GB.");

    private static string NameOnly(string name) => name[(name.LastIndexOfAny(['/', '\\']) + 1)..];

    /// <summary>The name as it may be shown: no control characters and none that turn the line's direction.</summary>
    public static string Shown(string name)
    {
        var clean = new string([.. name.Where(c => CharUnicodeInfo.GetUnicodeCategory(c) is not (UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.Surrogate))]);
        if (clean.Length > LongestName)
            clean = clean[^LongestName..];
        return clean.Length == 0 ? "unnamed" : clean;
    }
}

/// <summary>A photo of an upload, kept.</summary>
internal sealed record ArrivedPhotoFile(string Sha256, string Name, PhotoPlace? ManifestPlace);
