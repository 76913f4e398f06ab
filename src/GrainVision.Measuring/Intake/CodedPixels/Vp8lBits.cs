namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>Bits of lossless WebP (RFC 9649, 3.2): lowest first.</summary>
internal ref struct Vp8lBits(ReadOnlySpan<byte> data)
{
    private readonly ReadOnlySpan<byte> _data = data;
    private ulong _bits;
    private int _count;
    private int _at;

    /// <summary>More bits were taken than there are.</summary>
    public readonly bool Overrun => _count < 0;

    /// <summary>Whole bytes that nobody asked for.</summary>
    public readonly int BytesLeft => _data.Length - _at + (Math.Max(0, _count) / 8);

    /// <summary>The next bits, at most 32, without taking them; zeros beyond the end.</summary>
    public uint Peek(int count)
    {
        while (_count is >= 0 and <= 56 && _at < _data.Length)
        {
            _bits |= (ulong)_data[_at++] << _count;
            _count += 8;
        }

        return (uint)(_bits & ((1UL << count) - 1));
    }

    /// <summary>Takes bits that were peeked at.</summary>
    public void Skip(int count)
    {
        _bits >>= count;
        _count -= count;
    }

    public int Take(int count)
    {
        var value = (int)Peek(count);
        Skip(count);
        return value;
    }
}
