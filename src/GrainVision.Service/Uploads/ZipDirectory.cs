using System.Buffers.Binary;

namespace GrainVision.Service.Uploads;

/// <summary>
/// Counts a zip's entries without reading them into memory: the framework's reader holds an object for each before it says how many there
/// are, and a small file can name millions. Layout by the ZIP application note (APPNOTE.TXT 4.3.12, 4.3.14 to 4.3.16).
/// </summary>
internal static class ZipDirectory
{
    /// <summary>22 bytes: the end record without its comment, which may have 65,535 more.</summary>
    private const int EndBytes = 22;

    /// <summary>20 bytes: the zip64 locator, right before the end record.</summary>
    private const int LocatorBytes = 20;

    /// <summary>46 bytes: an entry of the directory without its name, extra field and comment.</summary>
    private const int EntryBytes = 46;

    private const uint EndSignature = 0x06054b50;
    private const uint LocatorSignature = 0x07064b50;
    private const uint End64Signature = 0x06064b50;
    private const uint EntrySignature = 0x02014b50;

    /// <summary>Number of entries, counted to <paramref name="most"/> + 1 at most; null where there is no directory.</summary>
    public static int? Count(Stream zip, int most)
    {
        if (DirectoryStart(zip) is not { } at || at >= zip.Length)
            return null;
        Span<byte> entry = stackalloc byte[EntryBytes];
        var count = 0;
        while (count <= most && Read(zip, at, entry) && BinaryPrimitives.ReadUInt32LittleEndian(entry) == EntrySignature)
        {
            count++;
            at += EntryBytes + U16(entry[28..]) + U16(entry[30..]) + U16(entry[32..]);
        }

        return count;
    }

    private static long? DirectoryStart(Stream zip)
    {
        var length = (int)Math.Min(zip.Length, EndBytes + ushort.MaxValue);
        if (length < EndBytes)
            return null;
        var tail = new byte[length];
        var tailStart = zip.Length - length;
        if (!Read(zip, tailStart, tail))
            return null;
        for (var i = length - EndBytes; i >= 0; i--)
        {
            if (U32(tail.AsSpan(i)) != EndSignature)
                continue;
            return Start(zip, tail.AsSpan(i), tailStart + i - LocatorBytes);
        }

        return null;
    }

    /// <summary>
    /// The directory that the framework's reader takes: the zip64 one where the end record says "too large for me" of its disk, its entries or its
    /// directory. Where both records name a directory, they must name the same: two readers may otherwise see two zips.
    /// </summary>
    private static long? Start(Stream zip, ReadOnlySpan<byte> end, long locatorAt)
    {
        var start = U32(end[16..]);
        var wants64 = start == uint.MaxValue || U16(end[4..]) == ushort.MaxValue || U16(end[10..]) == ushort.MaxValue;
        var start64 = Start64(zip, locatorAt);
        if (start64 is null)
            return wants64 ? null : start;
        return start == uint.MaxValue || start == start64 ? start64 : null;
    }

    private static long? Start64(Stream zip, long locatorAt)
    {
        Span<byte> locator = stackalloc byte[LocatorBytes];
        Span<byte> end = stackalloc byte[56];
        if (locatorAt < 0 || !Read(zip, locatorAt, locator) || U32(locator) != LocatorSignature)
            return null;
        var endAt = BinaryPrimitives.ReadInt64LittleEndian(locator[8..]);
        if (endAt < 0 || !Read(zip, endAt, end) || U32(end) != End64Signature)
            return null;
        return BinaryPrimitives.ReadInt64LittleEndian(end[48..]) is >= 0 and var start ? start : null;
    }

    private static bool Read(Stream zip, long at, Span<byte> into)
    {
        if (at > zip.Length - into.Length)
            return false;
        zip.Position = at;
        zip.ReadExactly(into);
        return true;
    }

    private static int U16(ReadOnlySpan<byte> bytes) => BinaryPrimitives.ReadUInt16LittleEndian(bytes);

    private static uint U32(ReadOnlySpan<byte> bytes) => BinaryPrimitives.ReadUInt32LittleEndian(bytes);
}
