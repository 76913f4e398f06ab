using System.Numerics;

namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>The arithmetic decoder of lossy WebP (RFC 6386, 7), loading a byte only when its bits are needed.</summary>
internal ref struct Vp8Bits(ReadOnlySpan<byte> data)
{
    private const int Even = 128;

    private readonly ReadOnlySpan<byte> _data = data;
    private ulong _value;
    private uint _rangeLessOne = 254;
    private int _bits = -8;
    private int _at;

    /// <summary>A byte beyond the end was needed.</summary>
    public bool Overrun { get; private set; }

    public readonly int BytesLeft => _data.Length - _at;

    /// <summary>One decision whose chance of being false is <paramref name="probability"/> of 256.</summary>
    public bool Bit(int probability)
    {
        if (_bits < 0)
            Load();
        var split = (_rangeLessOne * (uint)probability) >> 8;
        var bit = (uint)(_value >> _bits) > split;
        uint range;
        if (bit)
        {
            range = _rangeLessOne - split;
            _value -= (ulong)(split + 1) << _bits;
        }
        else
        {
            range = split + 1;
        }

        var shift = 7 - BitOperations.Log2(range);
        _rangeLessOne = (range << shift) - 1;
        _bits -= shift;
        return bit;
    }

    public bool Flag() => Bit(Even);

    public int Number(int bits)
    {
        var value = 0;
        for (; bits > 0; bits--)
            value = (value << 1) | (Bit(Even) ? 1 : 0);
        return value;
    }

    /// <summary>Passes over a number that is there only where a flag before it says so.</summary>
    public void SkipOptional(int bits)
    {
        if (Flag())
            Number(bits);
    }

    private void Load()
    {
        while (_bits < 0)
        {
            if (_at < _data.Length)
                _value = (_value << 8) | _data[_at++];
            else
                (_value, Overrun) = (_value << 8, true);
            _bits += 8;
        }
    }
}
