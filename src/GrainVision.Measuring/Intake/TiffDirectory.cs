using System.Buffers.Binary;

namespace GrainVision.Measuring.Intake;

/// <summary>
/// The first image file directory of a TIFF structure (TIFF 6.0, section 2; BigTIFF): the shape of TIFF files and of EXIF blocks alike.
/// Reads what is asked for and nothing else; any broken offset reads as "not there".
/// </summary>
internal readonly ref struct TiffDirectory
{
    /// <summary>4096: more tags than any writer makes; a guard against walking garbage.</summary>
    private const int MostEntries = 4096;

    private const ushort OrientationTag = 274;

    private readonly ReadOnlySpan<byte> _data;
    private readonly bool _bigEndian;
    private readonly bool _big;
    private readonly long _firstEntry;
    private readonly int _entries;

    private TiffDirectory(ReadOnlySpan<byte> data, bool bigEndian, bool big, long firstEntry, int entries)
    {
        _data = data;
        _bigEndian = bigEndian;
        _big = big;
        _firstEntry = firstEntry;
        _entries = entries;
    }

    private int EntryLength => _big ? 20 : 12;

    /// <summary>True where another directory, and so another picture, follows this one.</summary>
    public bool HasNext => Number(_firstEntry + ((long)_entries * EntryLength), _big ? 8 : 4) is > 0;

    /// <summary>EXIF orientation (1 to 8) in a TIFF structure; 1 where there is none or a wrong one.</summary>
    public static int OrientationOf(ReadOnlySpan<byte> tiff) =>
        TryOpen(tiff, out var directory) && directory.First(OrientationTag) is >= 1 and <= 8 and { } found ? (int)found : 1;

    /// <summary>Finds the first directory; false where the data is no TIFF structure.</summary>
    public static bool TryOpen(ReadOnlySpan<byte> data, out TiffDirectory directory)
    {
        directory = default;
        if (data.Length < 8 || !(data.StartsWith("II"u8) || data.StartsWith("MM"u8)))
            return false;
        var bigEndian = data[0] == (byte)'M';
        var probe = new TiffDirectory(data, bigEndian, false, 0, 0);
        var magic = probe.Number(2, 2);
        if (magic is not 42 and not 43)
            return false;
        var big = magic == 43;
        return probe.Number(big ? 8 : 4, big ? 8 : 4) is { } start && TryOpenAt(data, start, out directory);
    }

    /// <summary>Opens another directory of the same structure, such as EXIF's own; false where none stands there.</summary>
    /// <param name="data">The whole TIFF structure.</param>
    /// <param name="start">Where the directory starts.</param>
    /// <param name="directory">Receives it.</param>
    public static bool TryOpenAt(ReadOnlySpan<byte> data, long start, out TiffDirectory directory)
    {
        directory = default;
        if (data.Length < 8)
            return false;
        var bigEndian = data[0] == (byte)'M';
        var probe = new TiffDirectory(data, bigEndian, false, 0, 0);
        var big = probe.Number(2, 2) == 43;
        if (probe.Number(start, big ? 8 : 2) is not { } entries || entries is < 1 or > MostEntries)
            return false;
        directory = new TiffDirectory(data, bigEndian, big, start + (big ? 8 : 2), (int)entries);
        return true;
    }

    /// <summary>First value of a tag that holds whole numbers; null where it is missing.</summary>
    public long? First(ushort tag) => All(tag, 1) is { Length: > 0 } values ? values[0] : null;

    /// <summary>Values of a tag that holds whole numbers, at most <paramref name="most"/>; null where missing or broken.</summary>
    public long[]? All(ushort tag, int most)
    {
        for (var i = 0; i < _entries; i++)
        {
            var entry = _firstEntry + ((long)i * EntryLength);
            if (Number(entry, 2) != tag)
                continue;
            var size = Number(entry + 2, 2) switch { 1 => 1, 3 => 2, 4 or 13 => 4, 16 or 18 => 8, _ => 0 };
            if (size == 0 || Number(entry + 4, _big ? 8 : 4) is not { } count || count < 1)
                return null;
            var valueField = entry + (_big ? 12 : 8);
            var inPlace = count <= (_big ? 8 : 4) / size;
            if ((inPlace ? valueField : Number(valueField, _big ? 8 : 4)) is not { } at)
                return null;
            var values = new long[Math.Min(count, most)];
            for (var k = 0; k < values.Length; k++)
            {
                if (Number(at + ((long)k * size), size) is not { } value)
                    return null;
                values[k] = value;
            }

            return values;
        }

        return null;
    }

    private long? Number(long at, int size)
    {
        if (at < 0 || at > _data.Length - size)
            return null;
        var b = _data.Slice((int)at, size);
        return size switch
        {
            1 => b[0],
            2 => _bigEndian ? BinaryPrimitives.ReadUInt16BigEndian(b) : BinaryPrimitives.ReadUInt16LittleEndian(b),
            4 => _bigEndian ? BinaryPrimitives.ReadUInt32BigEndian(b) : BinaryPrimitives.ReadUInt32LittleEndian(b),
            _ => _bigEndian ? BinaryPrimitives.ReadInt64BigEndian(b) : BinaryPrimitives.ReadInt64LittleEndian(b),
        };
    }
}
