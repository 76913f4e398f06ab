using System.Runtime.InteropServices;

namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>How a TIFF's strip is coded: the ones whose bytes can be counted here (TIFF 6.0, sections 9 and 13; TIFF Technical Note 2 for deflate).</summary>
internal enum TiffCoding
{
    None = 1,
    Lzw = 5,
    Deflate = 8,
    PackBits = 32773,
    OldDeflate = 32946,
}

/// <summary>Counts the bytes that one strip unpacks to. The decoder leaves what is missing black and says nothing.</summary>
internal static class TiffStrip
{
    /// <summary>Walks one strip.</summary>
    /// <param name="packed">The strip as it stands in the file.</param>
    /// <param name="coding">How it is coded.</param>
    /// <param name="least">Bytes of the rows that it must hold.</param>
    /// <param name="most">Bytes of a full strip: some writers fill the last one up.</param>
    /// <param name="cancel">Checked while unpacking.</param>
    public static CodedPixelsFinding Check(ReadOnlyMemory<byte> packed, TiffCoding coding, long least, long most, CancellationToken cancel) => coding switch
    {
        TiffCoding.None => packed.Length < least ? CodedPixelsFinding.EndsEarly : CodedPixelsFinding.Complete,
        TiffCoding.Lzw => Lzw(packed.Span, least),
        TiffCoding.PackBits => PackBits(packed.Span, least),
        _ => Deflate(packed, least, most, cancel),
    };

    private static CodedPixelsFinding Deflate(ReadOnlyMemory<byte> packed, long least, long most, CancellationToken cancel)
    {
        if (!MemoryMarshal.TryGetArray(packed, out var array))
            array = packed.ToArray();
        using var stream = new MemoryStream(array.Array!, array.Offset, array.Count, writable: false);
        return DeflatedPixels.Count(stream, least, most, checksum: null, cancel);
    }

    /// <summary>Section 9: n below 128: n + 1 bytes follow; above 128: one byte, 257 - n times.</summary>
    private static CodedPixelsFinding PackBits(ReadOnlySpan<byte> packed, long least)
    {
        long count = 0;
        for (var at = 0; count < least;)
        {
            if (at >= packed.Length)
                return CodedPixelsFinding.EndsEarly;
            int n = packed[at++];
            if (n == 128)
                continue;
            count += n < 128 ? n + 1 : 257 - n;
            at += n < 128 ? n + 1 : 1;
            if (at > packed.Length)
                return CodedPixelsFinding.EndsEarly;
        }

        return CodedPixelsFinding.Complete;
    }

    /// <summary>Section 13, counting lengths only: an entry is its predecessor's string and one byte more.</summary>
    private static CodedPixelsFinding Lzw(ReadOnlySpan<byte> packed, long least)
    {
        const int clear = 256, end = 257, first = 258, full = 4096;
        var lengths = new int[full];
        lengths.AsSpan(0, clear).Fill(1);
        int next = first, width = 9, previous = -1;
        long count = 0, bit = 0;
        while (count < least)
        {
            if (bit + width > packed.Length * 8L)
                return CodedPixelsFinding.EndsEarly;
            var code = 0;
            for (var i = 0; i < width; i++, bit++)
                code = (code << 1) | ((packed[(int)(bit >> 3)] >> (7 - (int)(bit & 7))) & 1);
            if (code == end)
                return CodedPixelsFinding.EndsEarly;
            if (code == clear)
            {
                (next, width, previous) = (first, 9, -1);
                continue;
            }

            if (previous >= 0 && next < full)
                lengths[next++] = lengths[previous] + 1;
            if (code >= next)
                return CodedPixelsFinding.Damaged; // a string that nothing has defined
            count += lengths[code];
            previous = code;
            if (next + 1 >= 1 << width && width < 12)
                width++; // one code early, as the format has it
        }

        return CodedPixelsFinding.Complete;
    }
}
