namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>Bits of a JPEG scan (ITU-T T.81, B.1.1.5): highest first, the zero after each FF left out, up to the next marker.</summary>
internal ref struct JpegBits(ReadOnlySpan<byte> file, int start)
{
    private readonly ReadOnlySpan<byte> _file = file;
    private ulong _bits;
    private int _count;

    /// <summary>First byte not yet taken into the bits.</summary>
    public int At { get; private set; } = start;

    /// <summary>More bits were asked for than stand before the next marker.</summary>
    public readonly bool Overrun => _count < 0;

    /// <summary>The next bits without taking them; zeros beyond the end.</summary>
    public int Peek(int count)
    {
        if (_count < count)
            Fill();
        return (int)(_bits >> (64 - count));
    }

    public void Skip(int count)
    {
        if (_count < count)
            Fill();
        _bits <<= count;
        _count -= count;
    }

    /// <summary>Takes bits; 0 of them are 0.</summary>
    public int Take(int count)
    {
        if (count == 0)
            return 0;
        var value = Peek(count);
        Skip(count);
        return value;
    }

    /// <summary>
    /// Goes on to the marker behind the data. False where more stands before it than the padding of the last byte; zero bytes are let pass,
    /// because some cameras fill up with them.
    /// </summary>
    public bool ToMarker()
    {
        Fill();
        while (_count >= 8)
        {
            Skip(_count & 7);
            if (Take(8) != 0)
                return false;
            Fill();
        }

        return _count >= 0 && At + 1 < _file.Length;
    }

    /// <summary>Takes a restart marker of this number, 0 to 7.</summary>
    public bool TakeRestart(int number)
    {
        if (!ToMarker())
            return false;
        while (At + 1 < _file.Length && _file[At + 1] == 0xFF)
            At++;
        if (At + 1 >= _file.Length || _file[At + 1] != 0xD0 + number)
            return false;
        At += 2;
        (_bits, _count) = (0, 0);
        return true;
    }

    private void Fill()
    {
        while (_count is >= 0 and <= 56 && At < _file.Length)
        {
            var b = _file[At];
            if (b == 0xFF)
            {
                if (At + 1 >= _file.Length || _file[At + 1] != 0)
                    return;
                At++;
            }

            At++;
            _bits |= (ulong)b << (56 - _count);
            _count += 8;
        }
    }
}
