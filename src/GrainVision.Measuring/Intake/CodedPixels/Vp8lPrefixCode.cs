namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>A prefix code of lossless WebP (RFC 9649, 6.2.1).</summary>
internal sealed class Vp8lPrefixCode
{
    private const int LongestCode = 15;
    private const int FastBits = 8;
    private const int LengthCodes = 19;

    /// <summary>For the next eight bits: symbol and length (4 bits), or 0 for a longer code.</summary>
    private readonly ushort[] _fast = new ushort[1 << FastBits];
    private readonly ushort[] _symbols;
    private readonly int[] _counts = new int[LongestCode + 1];

    /// <summary>The one symbol of a code without bits; -1 for others.</summary>
    private readonly int _only;

    private Vp8lPrefixCode(ReadOnlySpan<byte> lengths, int used)
    {
        _symbols = new ushort[used];
        _only = -1;
        foreach (var length in lengths)
            _counts[length]++;
        _counts[0] = 0;
        Span<int> next = stackalloc int[LongestCode + 2];
        Span<int> code = stackalloc int[LongestCode + 2];
        for (var length = 1; length <= LongestCode; length++)
        {
            next[length + 1] = next[length] + _counts[length];
            code[length + 1] = (code[length] + _counts[length]) << 1;
        }

        for (var symbol = 0; symbol < lengths.Length; symbol++)
        {
            int length = lengths[symbol];
            if (length == 0)
                continue;
            _symbols[next[length]++] = (ushort)symbol;
            var reversed = Reversed(code[length]++, length);
            for (; length <= FastBits && reversed < 1 << FastBits; reversed += 1 << length)
                _fast[reversed] = (ushort)((symbol << 4) | length);
            if (used == 1)
                _only = symbol;
        }
    }

    private static ReadOnlySpan<byte> LengthOrder => [17, 18, 0, 1, 2, 3, 4, 5, 16, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15];

    /// <summary>Reads a code; null where its lengths make no whole tree.</summary>
    public static Vp8lPrefixCode? Read(ref Vp8lBits bits, int alphabet)
    {
        Span<byte> lengths = stackalloc byte[alphabet];
        lengths.Clear();
        if (bits.Take(1) == 1)
        {
            var two = bits.Take(1) == 1;
            var first = bits.Take(bits.Take(1) == 1 ? 8 : 1);
            var second = two ? bits.Take(8) : first;
            if (first >= alphabet || second >= alphabet)
                return null;
            lengths[first] = 1;
            lengths[second] = 1;
        }
        else if (!ReadLengths(ref bits, lengths))
        {
            return null;
        }

        return bits.Overrun ? null : Make(lengths);
    }

    /// <summary>The next symbol; -1 for bits that are no code.</summary>
    public int Next(ref Vp8lBits bits)
    {
        if (_only >= 0)
            return _only;
        var ahead = bits.Peek(LongestCode);
        var fast = _fast[ahead & ((1 << FastBits) - 1)];
        if (fast != 0)
        {
            bits.Skip(fast & 15);
            return fast >> 4;
        }

        int code = 0, first = 0, index = 0;
        for (var length = 1; length <= LongestCode; length++)
        {
            code |= (int)(ahead >> (length - 1)) & 1;
            if (code - first < _counts[length])
            {
                bits.Skip(length);
                return _symbols[index + code - first];
            }

            index += _counts[length];
            first = (first + _counts[length]) << 1;
            code <<= 1;
        }

        return -1;
    }

    private static Vp8lPrefixCode? Make(ReadOnlySpan<byte> lengths)
    {
        int used = 0, space = 0;
        foreach (var length in lengths)
        {
            if (length == 0)
                continue;
            used++;
            space += 1 << (LongestCode - length);
        }

        return used == 1 || space == 1 << LongestCode ? new Vp8lPrefixCode(lengths, used) : null;
    }

    private static bool ReadLengths(ref Vp8lBits bits, scoped Span<byte> lengths)
    {
        Span<byte> codeLengths = stackalloc byte[LengthCodes];
        codeLengths.Clear();
        var told = 4 + bits.Take(4);
        for (var i = 0; i < told && i < LengthCodes; i++)
            codeLengths[LengthOrder[i]] = (byte)bits.Take(3);
        if (told > LengthCodes || Make(codeLengths) is not { } code)
            return false;
        var left = lengths.Length;
        if (bits.Take(1) == 1)
            left = 2 + bits.Take(2 + (2 * bits.Take(3)));
        if (left > lengths.Length)
            return false;
        byte previous = 8;
        for (var symbol = 0; symbol < lengths.Length && left > 0; left--)
        {
            var length = code.Next(ref bits);
            if (length < 0 || bits.Overrun)
                return false;
            if (length < 16)
            {
                lengths[symbol++] = (byte)length;
                previous = length != 0 ? (byte)length : previous;
                continue;
            }

            var repeats = length switch { 16 => 3 + bits.Take(2), 17 => 3 + bits.Take(3), _ => 11 + bits.Take(7) };
            if (repeats > lengths.Length - symbol)
                return false;
            lengths.Slice(symbol, repeats).Fill(length == 16 ? previous : (byte)0);
            symbol += repeats;
        }

        return true;
    }

    private static int Reversed(int code, int length)
    {
        var reversed = 0;
        for (; length > 0; length--, code >>= 1)
            reversed = (reversed << 1) | (code & 1);
        return reversed;
    }
}
