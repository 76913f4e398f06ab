namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>A JPEG's Huffman table (ITU-T T.81, annex C and F.2.2.3).</summary>
internal sealed class JpegHuffman
{
    /// <summary>9 bits: holds nearly all codes of a photo in a table of 1 KB.</summary>
    private const int FastBits = 9;

    private const int LongestCode = 16;

    /// <summary>For the next nine bits: length and symbol, or 0 for a longer code.</summary>
    private readonly ushort[] _fast = new ushort[1 << FastBits];
    private readonly int[] _endOfLength = new int[LongestCode + 1];
    private readonly int[] _offset = new int[LongestCode + 1];
    private readonly byte[] _symbols;

    private JpegHuffman(byte[] symbols) => _symbols = symbols;

    /// <summary>Reads a table; null where it has more codes than fit their lengths.</summary>
    /// <param name="lengths">16 counts: codes of 1 to 16 bits.</param>
    /// <param name="symbols">One a code.</param>
    public static JpegHuffman? Read(ReadOnlySpan<byte> lengths, ReadOnlySpan<byte> symbols)
    {
        var table = new JpegHuffman(symbols.ToArray());
        int code = 0, index = 0;
        for (var length = 1; length <= LongestCode; length++)
        {
            table._offset[length] = index - code;
            for (var i = 0; i < lengths[length - 1]; i++, index++, code++)
            {
                if (code >= 1 << length)
                    return null;
                if (length <= FastBits)
                    table._fast.AsSpan(code << (FastBits - length), 1 << (FastBits - length)).Fill((ushort)((length << 8) | symbols[index]));
            }

            table._endOfLength[length] = code;
            code <<= 1;
        }

        return table;
    }

    /// <summary>The next symbol; -1 for bits that are no code.</summary>
    public int Next(ref JpegBits bits)
    {
        var ahead = bits.Peek(LongestCode);
        var fast = _fast[ahead >> (LongestCode - FastBits)];
        if (fast != 0)
        {
            bits.Skip(fast >> 8);
            return fast & 0xFF;
        }

        for (var length = FastBits + 1; length <= LongestCode; length++)
        {
            var code = ahead >> (LongestCode - length);
            if (code >= _endOfLength[length])
                continue;
            bits.Skip(length);
            var index = code + _offset[length];
            return index >= 0 && index < _symbols.Length ? _symbols[index] : -1;
        }

        return -1;
    }
}
