namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>
/// Walks lossless WebP (RFC 9649, sections 3 to 6) as a decoder does and counts its pixels; only the small picture that says which prefix
/// codes hold where is kept.
/// </summary>
internal static class Vp8lPixels
{
    /// <summary>
    /// 4,096 groups of prefix codes. The reference encoder makes at most 2,600 (MAX_HUFF_IMAGE_SIZE of libwebp, from memory); the decoder
    /// takes 27 KB for each, 1.8 GB for the 65,536 that the format allows.
    /// </summary>
    public const int MostGroups = 4096;

    /// <summary>8 bytes: encoders round up to words.</summary>
    private const int MostBytesLeft = 8;

    private const int HeaderBytes = 5;
    private const int Literals = 256;
    private const int Lengths = 24;
    private const int DistanceCodes = 40;
    private const int CodesOfAGroup = 5;

    /// <summary>Walks a VP8L chunk's data.</summary>
    public static CodedPixelsFinding Check(ReadOnlySpan<byte> chunk, int width, int height, CancellationToken cancel)
    {
        if (chunk.Length <= HeaderBytes || chunk[0] != 0x2F || chunk[4] >> 5 != 0) // signature; version 0
            return CodedPixelsFinding.Damaged;
        return CheckStream(chunk[HeaderBytes..], width, height, cancel);
    }

    /// <summary>Walks a stream without the header, as the transparency chunk of lossy WebP holds it.</summary>
    public static CodedPixelsFinding CheckStream(ReadOnlySpan<byte> stream, int width, int height, CancellationToken cancel)
    {
        var bits = new Vp8lBits(stream);
        var found = Walk(ref bits, width, height, cancel);
        if (bits.Overrun)
            return CodedPixelsFinding.EndsEarly;
        return found == CodedPixelsFinding.Complete && bits.BytesLeft > MostBytesLeft ? CodedPixelsFinding.Damaged : found;
    }

    private static CodedPixelsFinding Walk(ref Vp8lBits bits, int width, int height, CancellationToken cancel)
    {
        var seen = 0;
        while (bits.Take(1) == 1)
        {
            var kind = bits.Take(2);
            if ((seen & (1 << kind)) != 0)
                return CodedPixelsFinding.Damaged; // each transform once (section 4)
            seen |= 1 << kind;
            var found = CodedPixelsFinding.Complete;
            if (kind is 0 or 1)
            {
                var block = bits.Take(3) + 2;
                found = Picture(ref bits, Parts(width, block), Parts(height, block), null, mayHaveGroups: false, cancel);
            }
            else if (kind == 3)
            {
                var colours = bits.Take(8) + 1;
                found = Picture(ref bits, colours, 1, null, mayHaveGroups: false, cancel);
                width = Parts(width, colours switch { <= 2 => 3, <= 4 => 2, <= 16 => 1, _ => 0 });
            }

            if (found != CodedPixelsFinding.Complete)
                return found;
        }

        return Picture(ref bits, width, height, null, mayHaveGroups: true, cancel);
    }

    /// <summary>One entropy-coded picture (5.2, 6.2.3).</summary>
    /// <param name="bits">Stands at the picture.</param>
    /// <param name="width">Pixels of a row.</param>
    /// <param name="height">Rows.</param>
    /// <param name="kept">Filled with the pixels, where wanted.</param>
    /// <param name="mayHaveGroups">Only the picture itself may name different codes for its parts.</param>
    /// <param name="cancel">Checked on the way.</param>
    private static CodedPixelsFinding Picture(ref Vp8lBits bits, int width, int height, uint[]? kept, bool mayHaveGroups, CancellationToken cancel)
    {
        var cacheBits = bits.Take(1) == 1 ? bits.Take(4) : 0;
        if (cacheBits > 11)
            return CodedPixelsFinding.Damaged;
        var groups = 1;
        var blockBits = 0;
        uint[]? groupOf = null;
        if (mayHaveGroups && bits.Take(1) == 1)
        {
            blockBits = bits.Take(3) + 2;
            int across = Parts(width, blockBits), down = Parts(height, blockBits);
            groupOf = new uint[(long)across * down];
            if (Picture(ref bits, across, down, groupOf, mayHaveGroups: false, cancel) is var found and not CodedPixelsFinding.Complete)
                return found;
            for (var i = 0; i < groupOf.Length; i++)
            {
                groupOf[i] = (groupOf[i] >> 8) & 0xFFFF;
                groups = Math.Max(groups, (int)groupOf[i] + 1);
            }

            if (groups > MostGroups)
                return CodedPixelsFinding.TooCostly;
        }

        var codes = new Vp8lPrefixCode[groups * CodesOfAGroup];
        var cacheSize = cacheBits == 0 ? 0 : 1 << cacheBits;
        for (var i = 0; i < codes.Length; i++)
        {
            var alphabet = (i % CodesOfAGroup) switch { 0 => Literals + Lengths + cacheSize, 4 => DistanceCodes, _ => Literals };
            if (Vp8lPrefixCode.Read(ref bits, alphabet) is not { } code)
                return CodedPixelsFinding.Damaged;
            codes[i] = code;
        }

        return Pixels(ref bits, (width, height), kept, codes, groupOf, blockBits, cacheBits, cancel);
    }

    private static CodedPixelsFinding Pixels(
        ref Vp8lBits bits, (int Width, int Height) size, uint[]? kept, Vp8lPrefixCode[] codes, uint[]? groupOf, int blockBits, int cacheBits, CancellationToken cancel)
    {
        var total = (long)size.Width * size.Height;
        var across = Parts(size.Width, blockBits);
        var cache = kept is null || cacheBits == 0 ? [] : new uint[1 << cacheBits];
        long at = 0;
        int x = 0, y = 0;
        while (at < total)
        {
            var group = groupOf is null ? 0 : (int)groupOf[((long)(y >> blockBits) * across) + (x >> blockBits)] * CodesOfAGroup;
            var green = codes[group].Next(ref bits);
            if (green < 0 || bits.Overrun)
                return CodedPixelsFinding.Damaged;
            var run = 1;
            if (green < Literals)
            {
                int red = codes[group + 1].Next(ref bits), blue = codes[group + 2].Next(ref bits), alpha = codes[group + 3].Next(ref bits);
                if ((red | blue | alpha) < 0)
                    return CodedPixelsFinding.Damaged;
                Keep(kept, cache, cacheBits, at, ((uint)alpha << 24) | ((uint)red << 16) | ((uint)green << 8) | (uint)blue);
            }
            else if (green < Literals + Lengths)
            {
                run = Prefixed(ref bits, green - Literals);
                var distanceCode = codes[group + 4].Next(ref bits);
                if (distanceCode < 0)
                    return CodedPixelsFinding.Damaged;
                var back = Vp8lDistances.Compute(Prefixed(ref bits, distanceCode), size.Width);
                if (back > at || run > total - at)
                    return CodedPixelsFinding.Damaged;
                for (var i = 0; i < run && kept is not null; i++)
                    Keep(kept, cache, cacheBits, at + i, kept[at + i - back]);
            }
            else if (kept is not null)
            {
                Keep(kept, cache, cacheBits, at, cache[green - Literals - Lengths]);
            }

            at += run;
            for (x += run; x >= size.Width; y++)
            {
                x -= size.Width;
                cancel.ThrowIfCancellationRequested();
            }
        }

        return CodedPixelsFinding.Complete;
    }

    private static void Keep(uint[]? kept, uint[] cache, int cacheBits, long at, uint colour)
    {
        if (kept is null)
            return;
        kept[at] = colour;
        if (cacheBits > 0)
            cache[(0x1E35A7BDu * colour) >> (32 - cacheBits)] = colour;
    }

    /// <summary>A length or distance: prefix and further bits (5.2.2).</summary>
    private static int Prefixed(ref Vp8lBits bits, int prefix)
    {
        if (prefix < 4)
            return prefix + 1;
        var extra = (prefix - 2) >> 1;
        return ((2 + (prefix & 1)) << extra) + bits.Take(extra) + 1;
    }

    private static int Parts(int whole, int bits) => (whole + (1 << bits) - 1) >> bits;
}
