using System.Buffers.Binary;
using System.IO.Compression;
using System.IO.Hashing;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Intake;

/// <summary>Good files made by OpenCV's encoders (libjpeg-turbo, libwebp, libtiff: not the decoder under test), and ways to damage them.</summary>
internal static class DamagedFiles
{
    public const int Wide = 320;
    public const int High = 240;

    public static byte[] Encode(string extension, params ImageEncodingParam[] how)
    {
        using var wood = Wood();
        Cv2.ImEncode(extension, wood, out var file, how);
        return file;
    }

    public static byte[] Jpeg(int restartEvery = 0, bool progressive = false) => Encode(
        ".jpg", new ImageEncodingParam(ImwriteFlags.JpegProgressive, progressive ? 1 : 0), new ImageEncodingParam(ImwriteFlags.JpegRstInterval, restartEvery));

    /// <summary>101 is OpenCV's word for lossless.</summary>
    public static byte[] Webp(bool lossless) => Encode(".webp", new ImageEncodingParam(ImwriteFlags.WebPQuality, lossless ? 101 : 80));

    /// <summary>The file without some of its bytes.</summary>
    public static byte[] Without(byte[] file, int at, int count) => [.. file.AsSpan(0, at), .. file.AsSpan(at + count)];

    /// <summary>The file with some bytes changed to others of which none is FF.</summary>
    public static byte[] Changed(byte[] file, int at, int count)
    {
        var changed = (byte[])file.Clone();
        var random = new Random(at);
        for (var i = at; i < at + count; i++)
            changed[i] = (byte)random.Next(255);
        return changed;
    }

    /// <summary>Where the n-th of these bytes stand, from 0.</summary>
    public static int Find(byte[] file, int n, params byte[] what)
    {
        var at = -1;
        for (; n >= 0; n--)
            at += 1 + file.AsSpan(at + 1).IndexOf(what);
        return at;
    }

    /// <summary>First byte of a JPEG's coded data, after its n-th scan header.</summary>
    public static int ScanData(byte[] jpeg, int n = 0)
    {
        var header = Find(jpeg, n, 0xFF, 0xDA);
        return header + 2 + BinaryPrimitives.ReadUInt16BigEndian(jpeg.AsSpan(header + 2));
    }

    /// <summary>A WebP whose one picture chunk has other bytes, with all lengths set right again.</summary>
    public static byte[] WebpWith(ReadOnlySpan<byte> type, ReadOnlySpan<byte> picture)
    {
        var file = new byte[20 + picture.Length + (picture.Length & 1)];
        "RIFF"u8.CopyTo(file);
        BinaryPrimitives.WriteInt32LittleEndian(file.AsSpan(4), file.Length - 8);
        "WEBP"u8.CopyTo(file.AsSpan(8));
        type.CopyTo(file.AsSpan(12));
        BinaryPrimitives.WriteInt32LittleEndian(file.AsSpan(16), picture.Length);
        picture.CopyTo(file.AsSpan(20));
        return file;
    }

    /// <summary>The bytes of the one picture chunk of a simple WebP.</summary>
    public static byte[] WebpPicture(byte[] webp) => webp.AsSpan(20, BinaryPrimitives.ReadInt32LittleEndian(webp.AsSpan(16))).ToArray();

    /// <summary>
    /// 164 KB of lossless WebP: 512 x 512 pixels in one block, which names the last of 65,536 groups of prefix codes, each of five codes in 4 bits
    /// (RFC 9649, 6.2).
    /// </summary>
    public static byte[] WebpOfManyGroups()
    {
        var bits = new List<bool>();
        void Put(int value, int count)
        {
            for (var i = 0; i < count; i++)
                bits.Add((value >> i & 1) != 0);
        }

        void OneSymbol(int symbol)
        {
            Put(1, 1); // simple code
            Put(0, 1); // of one symbol
            Put(symbol > 1 ? 1 : 0, 1);
            Put(symbol, symbol > 1 ? 8 : 1);
        }

        Put(0x2F, 8);
        Put(511, 14);
        Put(511, 14);
        Put(0, 1 + 3); // no alpha, version 0
        Put(0, 1); // no transform
        Put(0, 1); // no colour cache
        Put(1, 1); // groups
        Put(7, 3); // of blocks of 512 x 512
        Put(0, 1); // the blocks' picture: no colour cache; green 255, red 255: group 65,535
        OneSymbol(255);
        OneSymbol(255);
        OneSymbol(0);
        OneSymbol(0);
        OneSymbol(0);
        for (var i = 0; i < 65_536 * 5; i++)
            OneSymbol(0);
        var picture = new byte[(bits.Count + 7) / 8];
        for (var i = 0; i < bits.Count; i++)
            picture[i / 8] |= (byte)(bits[i] ? 1 << (i % 8) : 0);
        return WebpWith("VP8L"u8, picture);
    }

    /// <summary>An 8-bit grey PNG of the given rows of data, whatever its header says, with right checksums.</summary>
    public static byte[] GreyPng(int headerRows, int dataRows)
    {
        var rows = new byte[dataRows * (Wide + 1)];
        for (var i = 0; i < rows.Length; i++)
            rows[i] = (byte)(i % (Wide + 1) == 0 ? 0 : 80 + (i % 97));
        var header = new byte[13];
        BinaryPrimitives.WriteInt32BigEndian(header, Wide);
        BinaryPrimitives.WriteInt32BigEndian(header.AsSpan(4), headerRows);
        header[8] = 8;
        return [0x89, (byte)'P', (byte)'N', (byte)'G', 0x0D, 0x0A, 0x1A, 0x0A, .. Chunk("IHDR"u8, header), .. Chunk("IDAT"u8, Deflated(rows)), .. Chunk("IEND"u8, [])];
    }

    public static byte[] Chunk(ReadOnlySpan<byte> type, ReadOnlySpan<byte> body)
    {
        var chunk = new byte[12 + body.Length];
        BinaryPrimitives.WriteInt32BigEndian(chunk, body.Length);
        type.CopyTo(chunk.AsSpan(4));
        body.CopyTo(chunk.AsSpan(8));
        BinaryPrimitives.WriteUInt32BigEndian(chunk.AsSpan(8 + body.Length), Crc32.HashToUInt32(chunk.AsSpan(4, 4 + body.Length)));
        return chunk;
    }

    /// <summary>A grey TIFF of one strip with that data (TIFF 6.0, section 2).</summary>
    public static byte[] GreyTiff(int compression, ReadOnlySpan<byte> strip, int rowsPerStrip = High)
    {
        (int Tag, int Value)[] entries = [(256, Wide), (257, High), (258, 8), (259, compression), (262, 1), (273, 8), (277, 1), (278, rowsPerStrip), (279, strip.Length)];
        var file = new byte[8 + strip.Length + (strip.Length & 1) + 2 + (entries.Length * 12) + 4];
        "II*\0"u8.CopyTo(file);
        strip.CopyTo(file.AsSpan(8));
        var at = 8 + strip.Length + (strip.Length & 1);
        BinaryPrimitives.WriteInt32LittleEndian(file.AsSpan(4), at);
        BinaryPrimitives.WriteInt16LittleEndian(file.AsSpan(at), (short)entries.Length);
        at += 2;
        foreach (var (tag, value) in entries)
        {
            BinaryPrimitives.WriteInt16LittleEndian(file.AsSpan(at), (short)tag);
            BinaryPrimitives.WriteInt16LittleEndian(file.AsSpan(at + 2), (short)(tag is 258 or 259 or 262 or 277 ? 3 : 4));
            BinaryPrimitives.WriteInt32LittleEndian(file.AsSpan(at + 4), 1);
            BinaryPrimitives.WriteInt32LittleEndian(file.AsSpan(at + 8), value);
            at += 12;
        }

        return file;
    }

    public static byte[] Deflated(ReadOnlySpan<byte> bytes)
    {
        using var packed = new MemoryStream();
        using (var zlib = new ZLibStream(packed, CompressionLevel.Fastest, leaveOpen: true))
            zlib.Write(bytes);
        return packed.ToArray();
    }

    /// <summary>Rings and noise: every block has something to code.</summary>
    private static Mat Wood()
    {
        var wood = new Mat(High, Wide, MatType.CV_8UC3, new Scalar(120, 160, 200));
        for (var radius = 10; radius < 2 * Wide; radius += 14)
            Cv2.Circle(wood, new Point(40, -60), radius, new Scalar(60, 90, 130), 4);
        var random = new Random(15);
        for (var y = 0; y < High; y++)
        {
            for (var x = 0; x < Wide; x++)
            {
                var p = wood.At<Vec3b>(y, x);
                wood.Set(y, x, new Vec3b((byte)(p.Item0 + random.Next(24)), (byte)(p.Item1 + random.Next(24)), (byte)(p.Item2 + random.Next(24))));
            }
        }

        return wood;
    }
}
