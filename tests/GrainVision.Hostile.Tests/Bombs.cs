using System.Buffers.Binary;
using System.IO.Compression;
using System.Text;

namespace GrainVision.Hostile.Tests;

/// <summary>Small files that ask for much memory or time, made here so that no copy of them need lie about.</summary>
internal static class Bombs
{
    private static readonly uint[] CrcTable = MakeCrcTable();

    /// <summary>A valid PNG of one colour: 8,000 x 8,000 one-bit pixels take some 8 KB.</summary>
    public static byte[] Png(int width, int height, byte bitDepth = 1, byte colourType = 0, bool interlaced = false)
    {
        var rowBytes = ((long)width * bitDepth * (colourType == 2 ? 3 : 1) + 7) / 8;
        var png = PngStart(width, height, bitDepth, colourType, interlaced);
        PngChunk(png, "IDAT", Deflated((rowBytes + 1) * height + (interlaced ? 8L * height : 0)));
        PngChunk(png, "IEND", []);
        return png.ToArray();
    }

    /// <summary>A PNG whose text and colour profile unpack to 200 MB each.</summary>
    public static byte[] PngWithHugeText()
    {
        var png = PngStart(64, 64, 8, 0, interlaced: false);
        var huge = Deflated(200_000_000);
        PngChunk(png, "iCCP", [.. "p\0\0"u8, .. huge]);
        PngChunk(png, "zTXt", [.. "Comment\0\0"u8, .. huge]);
        PngChunk(png, "iTXt", [.. "Comment\0\u0001\0\0\0"u8, .. huge]);
        PngChunk(png, "IDAT", Deflated(65 * 64));
        PngChunk(png, "IEND", []);
        return png.ToArray();
    }

    /// <summary>A PNG with more pixel data than its header has rows for.</summary>
    public static byte[] PngWithTooMuchData()
    {
        var png = PngStart(64, 64, 8, 0, interlaced: false);
        PngChunk(png, "IDAT", Deflated(500_000_000));
        PngChunk(png, "IEND", []);
        return png.ToArray();
    }

    /// <summary>A run-length BMP that ends at once: 64 MP of whatever colour, in 1.1 KB.</summary>
    public static byte[] BmpRunLength(int width, int height)
    {
        var bmp = new byte[54 + 1024 + 2];
        bmp[0] = (byte)'B';
        bmp[1] = (byte)'M';
        BinaryPrimitives.WriteInt32LittleEndian(bmp.AsSpan(2), bmp.Length);
        BinaryPrimitives.WriteInt32LittleEndian(bmp.AsSpan(10), 54 + 1024);
        BinaryPrimitives.WriteInt32LittleEndian(bmp.AsSpan(14), 40);
        BinaryPrimitives.WriteInt32LittleEndian(bmp.AsSpan(18), width);
        BinaryPrimitives.WriteInt32LittleEndian(bmp.AsSpan(22), height);
        BinaryPrimitives.WriteInt16LittleEndian(bmp.AsSpan(26), 1);
        BinaryPrimitives.WriteInt16LittleEndian(bmp.AsSpan(28), 8);
        BinaryPrimitives.WriteInt32LittleEndian(bmp.AsSpan(30), 1); // BI_RLE8
        bmp[^1] = 1; // 0, 1: end of bitmap
        return bmp;
    }

    /// <summary>A TIFF of one deflated strip: 8-bit grey, all of it one colour.</summary>
    public static byte[] TiffDeflated(int width, int height)
    {
        var strip = Deflated((long)width * height);
        return Tiff(width, height, compression: 8, strip, offsetsCount: 1);
    }

    /// <summary>A TIFF that claims a million strips, all of the same few bytes.</summary>
    public static byte[] TiffOfManyStrips() => Tiff(8_000, 8_000, compression: 1, new byte[64], offsetsCount: 1_000_000);

    /// <summary>A WebP (lossless) whose header claims 16,383 x 16,383.</summary>
    public static byte[] WebpHuge()
    {
        var webp = new byte[12 + 8 + 32];
        "RIFF"u8.CopyTo(webp);
        BinaryPrimitives.WriteInt32LittleEndian(webp.AsSpan(4), webp.Length - 8);
        "WEBPVP8L"u8.CopyTo(webp.AsSpan(8));
        BinaryPrimitives.WriteInt32LittleEndian(webp.AsSpan(16), 32);
        webp[20] = 0x2F;
        BinaryPrimitives.WriteUInt32LittleEndian(webp.AsSpan(21), 16_382u | (16_382u << 14));
        return webp;
    }

    /// <summary>A progressive JPEG with its first pass repeated many times.</summary>
    /// <param name="progressive">A small whole progressive JPEG.</param>
    /// <param name="passes">How often its first scan stands in the file.</param>
    public static byte[] JpegOfManyPasses(ReadOnlySpan<byte> progressive, int passes)
    {
        ReadOnlySpan<byte> startOfScan = [0xFF, 0xDA];
        var first = progressive.IndexOf(startOfScan);
        var second = first + 2 + progressive[(first + 2)..].IndexOf(startOfScan);
        // Tables may stand between the scans: what is repeated ends at the first marker behind the first scan's data.
        var length = second - first;
        var stream = new MemoryStream();
        stream.Write(progressive[..first]);
        for (var i = 0; i < passes; i++)
            stream.Write(progressive.Slice(first, length));
        stream.Write(progressive[second..]);
        return stream.ToArray();
    }

    private static byte[] Tiff(int width, int height, int compression, byte[] strip, int offsetsCount)
    {
        const int entries = 8;
        const int directory = 8;
        const int data = directory + 2 + (entries * 12) + 4;
        var arrays = offsetsCount > 1 ? offsetsCount * 8 : 0;
        var tiff = new byte[data + arrays + strip.Length];
        "II*\0"u8.CopyTo(tiff);
        BinaryPrimitives.WriteInt32LittleEndian(tiff.AsSpan(4), directory);
        BinaryPrimitives.WriteInt16LittleEndian(tiff.AsSpan(directory), entries);
        var at = directory + 2;
        void Entry(short tag, short type, int count, int value)
        {
            BinaryPrimitives.WriteInt16LittleEndian(tiff.AsSpan(at), tag);
            BinaryPrimitives.WriteInt16LittleEndian(tiff.AsSpan(at + 2), type);
            BinaryPrimitives.WriteInt32LittleEndian(tiff.AsSpan(at + 4), count);
            BinaryPrimitives.WriteInt32LittleEndian(tiff.AsSpan(at + 8), value);
            at += 12;
        }

        var stripAt = data + arrays;
        Entry(256, 4, 1, width);
        Entry(257, 4, 1, height);
        Entry(258, 3, 1, 8);
        Entry(259, 3, 1, compression);
        Entry(262, 3, 1, 1);
        Entry(273, 4, offsetsCount, offsetsCount > 1 ? data : stripAt);
        Entry(278, 4, 1, offsetsCount > 1 ? 1 : height);
        Entry(279, 4, offsetsCount, offsetsCount > 1 ? data + (offsetsCount * 4) : strip.Length);
        for (var i = 0; i < offsetsCount && offsetsCount > 1; i++)
        {
            BinaryPrimitives.WriteInt32LittleEndian(tiff.AsSpan(data + (i * 4)), stripAt);
            BinaryPrimitives.WriteInt32LittleEndian(tiff.AsSpan(data + (offsetsCount * 4) + (i * 4)), strip.Length);
        }

        strip.CopyTo(tiff.AsSpan(stripAt));
        return tiff;
    }

    private static MemoryStream PngStart(int width, int height, byte bitDepth, byte colourType, bool interlaced)
    {
        var png = new MemoryStream();
        png.Write([0x89, (byte)'P', (byte)'N', (byte)'G', 0x0D, 0x0A, 0x1A, 0x0A]);
        var header = new byte[13];
        BinaryPrimitives.WriteInt32BigEndian(header, width);
        BinaryPrimitives.WriteInt32BigEndian(header.AsSpan(4), height);
        header[8] = bitDepth;
        header[9] = colourType;
        header[12] = (byte)(interlaced ? 1 : 0);
        PngChunk(png, "IHDR", header);
        return png;
    }

    private static void PngChunk(MemoryStream png, string type, ReadOnlySpan<byte> data)
    {
        Span<byte> number = stackalloc byte[4];
        BinaryPrimitives.WriteInt32BigEndian(number, data.Length);
        png.Write(number);
        byte[] body = [.. Encoding.ASCII.GetBytes(type), .. data];
        png.Write(body);
        BinaryPrimitives.WriteUInt32BigEndian(number, Crc(body));
        png.Write(number);
    }

    /// <summary>Puts the right checksum behind every chunk of a changed PNG, as far as its chunks still hang together. Other files stay as they are.</summary>
    public static void RepairPngChecksums(Span<byte> png)
    {
        if (!png.StartsWith((ReadOnlySpan<byte>)[0x89, (byte)'P', (byte)'N', (byte)'G']))
            return;
        for (var at = 8; png.Length - at >= 12;)
        {
            var length = BinaryPrimitives.ReadUInt32BigEndian(png[at..]);
            if (length > png.Length - at - 12)
                return;
            var body = png.Slice(at + 4, (int)length + 4);
            at += 12 + (int)length;
            BinaryPrimitives.WriteUInt32BigEndian(png[(at - 4)..], Crc(body));
        }
    }

    private static uint Crc(ReadOnlySpan<byte> body)
    {
        var crc = 0xFFFFFFFFu;
        foreach (var b in body)
            crc = CrcTable[(byte)(crc ^ b)] ^ (crc >> 8);
        return crc ^ 0xFFFFFFFFu;
    }

    /// <summary>So many zero bytes, deflated: about a thousandth of their number.</summary>
    private static byte[] Deflated(long zeros)
    {
        using var packed = new MemoryStream();
        using (var zlib = new ZLibStream(packed, CompressionLevel.Fastest, leaveOpen: true))
        {
            var block = new byte[1 << 20];
            for (var left = zeros; left > 0; left -= block.Length)
                zlib.Write(block, 0, (int)Math.Min(left, block.Length));
        }

        return packed.ToArray();
    }

    private static uint[] MakeCrcTable()
    {
        var table = new uint[256];
        for (var n = 0u; n < 256; n++)
        {
            var c = n;
            for (var k = 0; k < 8; k++)
                c = (c & 1) != 0 ? 0xEDB88320u ^ (c >> 1) : c >> 1;
            table[n] = c;
        }

        return table;
    }
}
