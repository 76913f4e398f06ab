using System.IO.Compression;
using System.IO.Hashing;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Photos;

namespace GrainVision.Service.Uploads;

/// <summary>
/// Unpacks a zip of photos. Nothing a zip says of itself is believed: entries are counted before the archive is read, and bytes while they
/// are inflated. Names never become paths. A zip that plays tricks is refused whole, so that nobody wonders which half of it was taken.
/// </summary>
internal static class ZipPhotos
{
    public const int SignatureBytes = 4;

    /// <summary>1 MB: below this a high ratio harms nobody.</summary>
    private const long RatioCountsFrom = 1_000_000;

    /// <summary>Unix file types in the upper half of an entry's attributes: type mask, link.</summary>
    private const int TypeMask = 0xF000;
    private const int SymbolicLink = 0xA000;

    /// <summary>True for the first bytes of a zip: a local header, an empty archive or a spanned one.</summary>
    public static bool IsZip(ReadOnlySpan<byte> head) => head is [0x50, 0x4B, 3, 4, ..] or [0x50, 0x4B, 5, 6, ..] or [0x50, 0x4B, 7, 8, ..];

    /// <summary>Adds every photo of the zip; null where all went well.</summary>
    public static async Task<Refusal?> Unpack(StagedFile zip, ReceivedPhotos into, UploadSizeLimits limits, CancellationToken cancel)
    {
        await using var file = zip.OpenRead();
        try
        {
            if (ZipDirectory.Count(file, limits.MostZipEntries) is not { } count)
                return RefusalCatalog.ZipBroken.Because("The zip is broken or ends early.");
            if (count > limits.MostZipEntries)
                return RefusalCatalog.ZipTooManyEntries.Because($"The zip has more than {limits.MostZipEntries:N0} entries.");
            await using var archive = new ZipArchive(file, ZipArchiveMode.Read, leaveOpen: true);
            if (archive.Entries.Count != count)
                return RefusalCatalog.ZipBroken.Because("The zip has two directories that disagree.");
            foreach (var entry in archive.Entries)
            {
                if (Trick(entry) is { } trick)
                    return trick;
                if (!IsLeftOver(entry.FullName) && await Take(entry, into, limits, cancel) is { } refusal)
                    return refusal;
            }

            return null;
        }
        catch (InvalidDataException)
        {
            return RefusalCatalog.ZipBroken.Because("The zip is broken, or packed in a way that is not read here.", "Pack it again with the usual method (deflate), or send the photos as they are.");
        }
    }

    private static async Task<Refusal?> Take(ZipArchiveEntry entry, ReceivedPhotos into, UploadSizeLimits limits, CancellationToken cancel)
    {
        await using var packed = await entry.OpenAsync(cancel);
        await using var inflating = new Meter(packed, Math.Max(RatioCountsFrom, entry.CompressedLength * limits.MostZipRatio));
        var head = new byte[SignatureBytes];
        var n = await inflating.ReadAtLeastAsync(head, head.Length, throwOnEndOfStream: false, cancel);
        if (IsZip(head.AsSpan(0, n)))
            return RefusalCatalog.ZipNested.Because($"'{ReceivedPhotos.Shown(entry.FullName)}' in the zip is itself a zip.");
        try
        {
            var refusal = ReceivedPhotos.IsManifest(entry.FullName)
                ? await into.AddManifest(head.AsMemory(0, n), inflating, cancel)
                : await into.Add(entry.FullName, head.AsMemory(0, n), inflating, cancel);
            var isWhole = inflating.Position == entry.Length && inflating.Crc == entry.Crc32;
            return refusal is null && !isWhole
                ? RefusalCatalog.ZipBroken.Because($"'{ReceivedPhotos.Shown(entry.FullName)}' in the zip does not match its checksum or size.")
                : refusal;
        }
        catch (MeterException)
        {
            return RefusalCatalog.ZipBomb.Because($"'{ReceivedPhotos.Shown(entry.FullName)}' unpacks to more than {limits.MostZipRatio} times its packed size.");
        }
    }

    private static Refusal? Trick(ZipArchiveEntry entry)
    {
        var name = entry.FullName.Replace('\\', '/');
        if (entry.IsEncrypted)
            return RefusalCatalog.ZipEncrypted.Because($"'{ReceivedPhotos.Shown(entry.FullName)}' in the zip is encrypted.");
        if (name.Length == 0 || name[0] == '/' || name.Contains(':', StringComparison.Ordinal) || name.Any(char.IsControl) || name.Split('/').Contains(".."))
            return RefusalCatalog.ZipPath.Because($"The zip names a path outside itself: '{ReceivedPhotos.Shown(name)}'.");
        return ((entry.ExternalAttributes >> 16) & TypeMask) == SymbolicLink
            ? RefusalCatalog.ZipLink.Because($"'{ReceivedPhotos.Shown(entry.FullName)}' in the zip is a link.")
            : null;
    }

    /// <summary>Folders, and what operating systems leave in zips and nobody means to send.</summary>
    private static bool IsLeftOver(string name)
    {
        var parts = name.Replace('\\', '/').Split('/');
        return parts[^1] is "" or ".DS_Store" or "Thumbs.db" or "desktop.ini" || parts[0] == "__MACOSX";
    }

    /// <summary>Counts bytes and sums them up as they come out, whatever the entry's header says of them; the framework's reader compares no checksum.</summary>
    private sealed class Meter(Stream inner, long most) : Stream
    {
        private readonly Crc32 _crc = new();
        private long _read;

        /// <summary>CRC-32 of what came out so far.</summary>
        public uint Crc => _crc.GetCurrentHashAsUInt32();

        public override bool CanRead => true;

        public override bool CanSeek => false;

        public override bool CanWrite => false;

        public override long Length => throw new NotSupportedException();

        public override long Position
        {
            get => _read;
            set => throw new NotSupportedException();
        }

        public override int Read(byte[] buffer, int offset, int count) => Counted(buffer.AsSpan(offset, count), inner.Read(buffer, offset, count));

        public override async ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default)
        {
            var n = await inner.ReadAsync(buffer, cancellationToken);
            return Counted(buffer.Span, n);
        }

        public override Task<int> ReadAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) =>
            ReadAsync(buffer.AsMemory(offset, count), cancellationToken).AsTask();

        public override void Flush()
        {
        }

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();

        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

        private int Counted(ReadOnlySpan<byte> buffer, int n)
        {
            if ((_read += n) > most)
                throw new MeterException();
            _crc.Append(buffer[..n]);
            return n;
        }
    }

    private sealed class MeterException : Exception;
}
