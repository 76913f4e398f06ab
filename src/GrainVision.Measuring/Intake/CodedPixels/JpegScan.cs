namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>
/// Walks the coded blocks of one scan without computing a pixel (ITU-T T.81, F.2.2 for one pass, G.1.2 and G.2 for several): each block's
/// codes are read and its bits skipped, so that the blocks are counted as a decoder would meet them.
/// </summary>
internal ref struct JpegScan
{
    private const int ZeroRun = 15;

    /// <summary>
    /// 1,280: with 8-bit samples no coefficient of the transform (A.3.3) is beyond 1,024 and one half step; a quarter more for encoders that overshoot
    /// white and black on purpose.
    /// </summary>
    private const int MostCoefficient = 1_280;

    private JpegBits _bits;
    private readonly int _most;
    private int _endOfBandRun;

    /// <summary>The last block's mean of up to four channels, in their steps (F.2.1.3.1).</summary>
    private (int A, int B, int C, int D) _means;

    /// <param name="file">The whole file.</param>
    /// <param name="start">First byte of the scan's data.</param>
    /// <param name="sampleBits">8, or 12 of the extended coding: values are so much larger.</param>
    public JpegScan(ReadOnlySpan<byte> file, int start, int sampleBits)
    {
        _bits = new JpegBits(file, start);
        _most = MostCoefficient << (sampleBits - 8);
    }

    /// <summary>A channel of this scan with its tables, the steps in zigzag order; a table that the scan does not use may be null.</summary>
    public readonly record struct Channel(JpegComponent Component, JpegHuffman? Dc, JpegHuffman? Ac, ushort[] Steps);

    /// <summary>The coefficients and bits that a scan tells; one pass tells 0 to 63 at once.</summary>
    public readonly record struct Band(bool MultiPass, int First, int Last, int HighBit, int LowBit);

    /// <summary>Where the scan's data ends: at the next marker, once walked.</summary>
    public readonly int End => _bits.At;

    /// <summary>Walks all blocks, with the restart markers between them in their order.</summary>
    /// <param name="channels">One: its own blocks; more: units of all of them (A.2).</param>
    /// <param name="band">What is told.</param>
    /// <param name="unitsWide">Interleaved units of a row.</param>
    /// <param name="unitsHigh">Rows of units.</param>
    /// <param name="restartEvery">Units between restart markers; 0: none.</param>
    /// <param name="cancel">Checked at every row.</param>
    public CodedPixelsFinding Walk(ReadOnlySpan<Channel> channels, Band band, int unitsWide, int unitsHigh, int restartEvery, CancellationToken cancel)
    {
        var alone = channels.Length == 1;
        var wide = alone ? channels[0].Component.BlocksWide : unitsWide;
        var high = alone ? channels[0].Component.BlocksHigh : unitsHigh;
        var unit = 0;
        for (var y = 0; y < high; y++)
        {
            cancel.ThrowIfCancellationRequested();
            for (var x = 0; x < wide; x++, unit++)
            {
                if (restartEvery > 0 && unit > 0 && unit % restartEvery == 0)
                {
                    if (_endOfBandRun > 0 || !_bits.TakeRestart(((unit / restartEvery) - 1) & 7))
                        return CodedPixelsFinding.Damaged;
                    _means = default;
                }

                if (!(alone ? Block(channels[0], band, x, y, ref _means.A) : Unit(channels, band, x, y)))
                    return _bits.Overrun ? CodedPixelsFinding.EndsEarly : CodedPixelsFinding.Damaged;
            }

            if (_bits.Overrun)
                return CodedPixelsFinding.EndsEarly;
        }

        return _endOfBandRun == 0 && _bits.ToMarker() ? CodedPixelsFinding.Complete : CodedPixelsFinding.Damaged;
    }

    private bool Unit(ReadOnlySpan<Channel> channels, Band band, int x, int y)
    {
        for (var i = 0; i < channels.Length; i++)
        {
            var channel = channels[i];
            ref var mean = ref i == 0 ? ref _means.A : ref i == 1 ? ref _means.B : ref i == 2 ? ref _means.C : ref _means.D;
            var component = channel.Component;
            for (var v = 0; v < component.Down; v++)
            {
                for (var h = 0; h < component.Across; h++)
                {
                    if (!Block(channel, band, (x * component.Across) + h, (y * component.Down) + v, ref mean))
                        return false;
                }
            }
        }

        return !_bits.Overrun;
    }

    private bool Block(Channel channel, Band band, int x, int y, ref int mean)
    {
        if (!band.MultiPass)
            return Dc(channel, 0, ref mean) && OnePass(channel.Ac!, channel.Steps);
        if (band.First == 0)
        {
            if (band.HighBit == 0)
                return Dc(channel, band.LowBit, ref mean);
            _bits.Skip(1);
            return true;
        }

        ref var notZero = ref channel.Component.NotZero[(y * channel.Component.RowBlocks) + x];
        return band.HighBit == 0 ? FirstTelling(channel.Ac!, channel.Steps, band, ref notZero) : Refining(channel.Ac!, band, ref notZero);
    }

    /// <summary>F.2.2.1: the difference of a block's mean to the last one's; true where the sum is one that pixels can give.</summary>
    private bool Dc(Channel channel, int lowBit, ref int mean)
    {
        var size = channel.Dc!.Next(ref _bits);
        if (size is < 0 or > ZeroRun)
            return false;
        var bits = _bits.Take(size);
        mean += size == 0 || bits >= 1 << (size - 1) ? bits : bits - (1 << size) + 1;
        var step = channel.Steps[0] << lowBit;
        return (long)Math.Abs(mean) * step <= _most + step;
    }

    /// <summary>True where a coefficient of so many bits is one that pixels can give.</summary>
    private readonly bool Fits(int size, int step) => size == 0 || (long)step << (size - 1) <= _most + step;

    private bool OnePass(JpegHuffman table, ushort[] steps)
    {
        for (var k = 1; k < 64; k++)
        {
            var code = table.Next(ref _bits);
            if (code < 0)
                return false;
            var size = code & 15;
            if (size == 0 && code >> 4 != ZeroRun)
                return true; // end of block
            k += code >> 4;
            if (k > 63 || !Fits(size, steps[k]))
                return false;
            _bits.Skip(size);
        }

        return true;
    }

    private bool FirstTelling(JpegHuffman table, ushort[] steps, Band band, ref ulong notZero)
    {
        if (_endOfBandRun > 0)
        {
            _endOfBandRun--;
            return true;
        }

        for (var k = band.First; k <= band.Last; k++)
        {
            var code = table.Next(ref _bits);
            if (code < 0)
                return false;
            int run = code >> 4, size = code & 15;
            if (size == 0 && run < ZeroRun)
            {
                _endOfBandRun = (1 << run) - 1 + _bits.Take(run);
                return true;
            }

            k += run;
            if (k > band.Last || !Fits(size, steps[k] << band.LowBit))
                return false;
            _bits.Skip(size);
            if (size != 0)
                notZero |= 1UL << k;
        }

        return true;
    }

    private bool Refining(JpegHuffman table, Band band, ref ulong notZero)
    {
        var k = band.First;
        for (; k <= band.Last && _endOfBandRun == 0; k++)
        {
            var code = table.Next(ref _bits);
            if (code < 0)
                return false;
            int run = code >> 4, size = code & 15;
            if (size == 0 && run < ZeroRun)
            {
                _endOfBandRun = (1 << run) + _bits.Take(run);
                break;
            }

            if (size > 1)
                return false; // a coefficient told so late can only be 1 or -1
            _bits.Skip(size);
            for (; k <= band.Last; k++)
            {
                if ((notZero >> k & 1) != 0)
                    _bits.Skip(1);
                else if (run-- == 0)
                    break;
            }

            if (size != 0)
            {
                if (k > band.Last)
                    return false;
                notZero |= 1UL << k;
            }
        }

        if (_endOfBandRun == 0)
            return true;
        for (; k <= band.Last; k++)
            _bits.Skip((int)(notZero >> k & 1));
        _endOfBandRun--;
        return true;
    }
}
