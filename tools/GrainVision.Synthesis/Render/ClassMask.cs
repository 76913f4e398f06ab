using System.Buffers.Binary;
using System.IO.Compression;
using GrainVision.Measuring.Surfaces;

namespace GrainVision.Synthesis;

/// <summary>
/// What was painted on the photographed surface, pixel by pixel, one bit for each <see cref="MarkClass"/>: the true shape of each
/// mark before the camera blurs it, not its hull.
/// </summary>
public sealed class ClassMask
{
    private readonly ushort[] _bits;

    internal ClassMask(int width, int height)
    {
        Width = width;
        Height = height;
        _bits = new ushort[width * height];
    }

    public int Width { get; }

    public int Height { get; }

    internal void Mark(int x, int y, int classes) => _bits[(y * Width) + x] |= (ushort)classes;

    /// <summary>Bits of the classes at a pixel; bit k is class k of the truth's list.</summary>
    public int At(int x, int y) => _bits[(y * Width) + x];

    /// <summary>
    /// A palette PNG (ISO/IEC 15948, colour type 3): every combination of classes that occurs is one palette entry. Gives the file
    /// and the class bits of each entry. A photo with more than 256 combinations keeps the 256 most frequent; the rest lose their
    /// harmless classes first.
    /// </summary>
    internal (byte[] Png, IReadOnlyList<int> Combinations) ToPng()
    {
        var often = _bits.CountBy(b => b).OrderByDescending(c => c.Value).ThenBy(c => c.Key).Select(c => (int)c.Key).ToList();
        var kept = often.Take(256).ToList();
        var index = new Dictionary<int, byte>();
        for (var i = 0; i < kept.Count; i++)
            index[kept[i]] = (byte)i;
        foreach (var rare in often.Skip(256))
            index[rare] = (byte)kept.IndexOf(kept.MinBy(k => int.PopCount((k ^ rare) & Blemishes) * 100 + int.PopCount(k ^ rare)));
        var rows = new byte[Height * (Width + 1)];
        for (var y = 0; y < Height; y++)
        {
            for (var x = 0; x < Width; x++)
                rows[(y * (Width + 1)) + 1 + x] = index[_bits[(y * Width) + x]];
        }

        using var file = new MemoryStream();
        file.Write([0x89, (byte)'P', (byte)'N', (byte)'G', 13, 10, 26, 10]);
        var header = new byte[13];
        BinaryPrimitives.WriteInt32BigEndian(header, Width);
        BinaryPrimitives.WriteInt32BigEndian(header.AsSpan(4), Height);
        (header[8], header[9]) = (8, 3);
        Chunk(file, "IHDR"u8, header);
        Chunk(file, "PLTE"u8, Palette(kept));
        using (var packed = new MemoryStream())
        {
            using (var zip = new ZLibStream(packed, CompressionLevel.Fastest, leaveOpen: true))
                zip.Write(rows);
            Chunk(file, "IDAT"u8, packed.ToArray());
        }

        Chunk(file, "IEND"u8, []);
        return (file.ToArray(), kept);
    }

    /// <summary>Bits of the classes that are blemishes: those before <see cref="MarkClass.Marking"/>.</summary>
    private const int Blemishes = (1 << (int)MarkClass.Marking) - 1;

    /// <summary>Colours for a person who opens the file: any that differ.</summary>
    private static byte[] Palette(List<int> combinations)
    {
        var colours = new byte[combinations.Count * 3];
        for (var i = 0; i < combinations.Count; i++)
        {
            var h = combinations[i] == 0 ? 0u : Noise.Hash(combinations[i], 17, 29) | 0x404040u;
            (colours[i * 3], colours[(i * 3) + 1], colours[(i * 3) + 2]) = ((byte)h, (byte)(h >> 8), (byte)(h >> 16));
        }

        return colours;
    }

    private static void Chunk(Stream to, ReadOnlySpan<byte> name, ReadOnlySpan<byte> data)
    {
        var number = new byte[4];
        BinaryPrimitives.WriteInt32BigEndian(number, data.Length);
        to.Write(number);
        to.Write(name);
        to.Write(data);
        BinaryPrimitives.WriteUInt32BigEndian(number, Crc(name, data));
        to.Write(number);
    }

    /// <summary>CRC-32 of ISO 3309, as PNG's annex D computes it.</summary>
    private static uint Crc(ReadOnlySpan<byte> name, ReadOnlySpan<byte> data)
    {
        var crc = Step(0xFFFFFFFFu, name);
        return Step(crc, data) ^ 0xFFFFFFFFu;

        static uint Step(uint crc, ReadOnlySpan<byte> bytes)
        {
            foreach (var b in bytes)
                crc = CrcTable[(crc ^ b) & 0xFF] ^ (crc >> 8);
            return crc;
        }
    }

    private static readonly uint[] CrcTable = [.. Enumerable.Range(0, 256).Select(n =>
    {
        var c = (uint)n;
        for (var k = 0; k < 8; k++)
            c = (c & 1) != 0 ? 0xEDB88320u ^ (c >> 1) : c >> 1;
        return c;
    })];
}
