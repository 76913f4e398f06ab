using System.Buffers.Binary;

namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>
/// Walks the frame of a lossy WebP (RFC 6386, 9, 11, 13) as a decoder does, without computing pixels: a shown key frame of the file's size, whose
/// partitions hold the modes and coefficients of every macroblock, and nothing beside them.
/// </summary>
internal ref struct Vp8Frame
{
    private const int HeaderBytes = 10;

    /// <summary>8 bytes: encoders flush their last word.</summary>
    private const int MostBytesLeft = 8;

    private const int Modes = 10;
    private const int Macroblock = 16;

    /// <summary>Per macroblock column: four modes of its lowest row (11.3).</summary>
    private readonly byte[] _modesAbove;

    /// <summary>Per macroblock column: what holds coefficients in its lowest row: bits 0-3 luma, 4-5 and 6-7 chroma, 8 the means (13.3).</summary>
    private readonly int[] _filledAbove;
    private readonly byte[] _modesLeft = new byte[4];
    private readonly byte[] _chances = Vp8Tables.Coefficients.ToArray();
    private int _filledLeft;
    private Vp8Bits _head;
    private bool _segmentsTold;
    private int _segmentChance0;
    private int _segmentChance1;
    private int _segmentChance2;
    private bool _mayHaveEmpty;
    private int _emptyChance;

    private Vp8Frame(ReadOnlySpan<byte> firstPartition, int columns)
    {
        _head = new Vp8Bits(firstPartition);
        _modesAbove = new byte[4 * columns];
        _filledAbove = new int[columns];
    }

    public static CodedPixelsFinding Check(ReadOnlySpan<byte> chunk, int width, int height, CancellationToken cancel)
    {
        if (chunk.Length < HeaderBytes)
            return CodedPixelsFinding.EndsEarly;
        var tag = chunk[0] | (chunk[1] << 8) | (chunk[2] << 16);
        var isShownKeyFrame = (tag & 1) == 0 && ((tag >> 4) & 1) == 1;
        if (!isShownKeyFrame || ((tag >> 1) & 7) > 3 || !chunk[3..].StartsWith((ReadOnlySpan<byte>)[0x9D, 0x01, 0x2A]))
            return CodedPixelsFinding.Damaged;
        int across = BinaryPrimitives.ReadUInt16LittleEndian(chunk[6..]) & 0x3FFF, down = BinaryPrimitives.ReadUInt16LittleEndian(chunk[8..]) & 0x3FFF;
        if (across != width || down != height)
            return CodedPixelsFinding.Damaged;
        var firstLength = tag >> 5;
        if (firstLength > chunk.Length - HeaderBytes)
            return CodedPixelsFinding.EndsEarly;
        var columns = (width + Macroblock - 1) / Macroblock;
        var frame = new Vp8Frame(chunk.Slice(HeaderBytes, firstLength), columns);
        return frame.Walk(chunk[(HeaderBytes + firstLength)..], columns, (height + Macroblock - 1) / Macroblock, cancel);
    }

    private CodedPixelsFinding Walk(ReadOnlySpan<byte> partitions, int columns, int rows, CancellationToken cancel)
    {
        var count = Header();
        if (_head.Overrun || partitions.Length < 3 * (count - 1))
            return CodedPixelsFinding.EndsEarly;
        // Rows take turns between the partitions (9.5), so each partition's rows are walked when the modes of all rows before are known:
        // the decoders of up to eight partitions stand side by side.
        Span<int> starts = stackalloc int[count + 1];
        starts[0] = 3 * (count - 1);
        for (var i = 0; i < count - 1; i++)
        {
            var length = partitions[3 * i] | (partitions[(3 * i) + 1] << 8) | (partitions[(3 * i) + 2] << 16);
            if (length > partitions.Length - starts[i])
                return CodedPixelsFinding.EndsEarly;
            starts[i + 1] = starts[i] + length;
        }

        starts[count] = partitions.Length;
        var readers = new Readers();
        for (var i = 0; i < count; i++)
            readers.At(i) = new Vp8Bits(partitions[starts[i]..starts[i + 1]]);
        for (var y = 0; y < rows; y++)
        {
            cancel.ThrowIfCancellationRequested();
            ref var tokens = ref readers.At(y & (count - 1));
            _filledLeft = 0;
            _modesLeft.AsSpan().Clear();
            for (var x = 0; x < columns; x++)
                OneMacroblock(ref tokens, x);
            if (_head.Overrun || tokens.Overrun)
                return CodedPixelsFinding.EndsEarly;
        }

        var left = _head.BytesLeft;
        for (var i = 0; i < count; i++)
            left = Math.Max(left, readers.At(i).BytesLeft);
        return left > MostBytesLeft ? CodedPixelsFinding.Damaged : CodedPixelsFinding.Complete;
    }

    /// <summary>9.2 to 9.11; gives the number of partitions with coefficients.</summary>
    private int Header()
    {
        _head.Number(2); // colour space, clamping
        (_segmentChance0, _segmentChance1, _segmentChance2) = (255, 255, 255);
        if (_head.Flag())
        {
            _segmentsTold = _head.Flag();
            if (_head.Flag())
            {
                _head.Flag(); // absolute or relative
                for (var i = 0; i < 4; i++)
                    _head.SkipOptional(7 + 1);
                for (var i = 0; i < 4; i++)
                    _head.SkipOptional(6 + 1);
            }

            if (_segmentsTold)
            {
                _segmentChance0 = _head.Flag() ? _head.Number(8) : 255;
                _segmentChance1 = _head.Flag() ? _head.Number(8) : 255;
                _segmentChance2 = _head.Flag() ? _head.Number(8) : 255;
            }
        }

        _head.Number(1 + 6 + 3); // loop filter: kind, level, sharpness
        if (_head.Flag() && _head.Flag())
        {
            for (var i = 0; i < 8; i++)
                _head.SkipOptional(6 + 1);
        }

        var partitions = 1 << _head.Number(2);
        _head.Number(7); // steps
        for (var i = 0; i < 5; i++)
            _head.SkipOptional(4 + 1);
        _head.Flag(); // keep the chances for later frames
        var updates = Vp8Tables.CoefficientUpdates;
        for (var i = 0; i < _chances.Length; i++)
        {
            if (_head.Bit(updates[i]))
                _chances[i] = (byte)_head.Number(8);
        }

        _mayHaveEmpty = _head.Flag();
        _emptyChance = _mayHaveEmpty ? _head.Number(8) : 0;
        return partitions;
    }

    private void OneMacroblock(ref Vp8Bits tokens, int x)
    {
        if (_segmentsTold)
            _head.Bit(_head.Bit(_segmentChance0) ? _segmentChance2 : _segmentChance1);
        var isEmpty = _mayHaveEmpty && _head.Bit(_emptyChance);
        var inParts = LumaModes(x);
        if (_head.Bit(142) && _head.Bit(114)) // chroma mode (11.2)
            _head.Bit(183);
        var (above, left) = (_filledAbove[x], _filledLeft);
        if (isEmpty)
        {
            // The means' context stays where this macroblock has none.
            (_filledAbove[x], _filledLeft) = inParts ? (above & 0x100, left & 0x100) : (0, 0);
            return;
        }

        int aboveNow = above & 0x100, leftNow = left & 0x100;
        if (!inParts)
        {
            var means = Vp8Tokens.Block(ref tokens, _chances.AsSpan(Vp8Tokens.Plane), (above >> 8) + (left >> 8), 0) ? 0x100 : 0;
            (aboveNow, leftNow) = (means, means);
        }

        var luma = _chances.AsSpan(inParts ? 3 * Vp8Tokens.Plane : 0);
        Blocks(ref tokens, luma, inParts ? 0 : 1, 0, 4, above, left, ref aboveNow, ref leftNow);
        var chroma = _chances.AsSpan(2 * Vp8Tokens.Plane);
        Blocks(ref tokens, chroma, 0, 4, 2, above, left, ref aboveNow, ref leftNow);
        Blocks(ref tokens, chroma, 0, 6, 2, above, left, ref aboveNow, ref leftNow);
        (_filledAbove[x], _filledLeft) = (aboveNow, leftNow);
    }

    /// <summary>A square of blocks of one plane, whose neighbours' state stands from bit <paramref name="at"/> on.</summary>
    private static void Blocks(ref Vp8Bits tokens, ReadOnlySpan<byte> plane, int first, int at, int side, int above, int left, ref int aboveNow, ref int leftNow)
    {
        int top = above >> at, edge = left >> at;
        for (var v = 0; v < side; v++)
        {
            var before = edge >> v & 1;
            for (var h = 0; h < side; h++)
            {
                before = Vp8Tokens.Block(ref tokens, plane, before + (top >> h & 1), first) ? 1 : 0;
                top = (top & ~(1 << h)) | (before << h);
            }

            leftNow |= before << (at + v);
        }

        aboveNow |= (top & ((1 << side) - 1)) << at;
    }

    /// <summary>11.2 and 11.3; true where each of the sixteen blocks has a mode of its own.</summary>
    private bool LumaModes(int x)
    {
        var above = _modesAbove.AsSpan(4 * x, 4);
        if (_head.Bit(145))
        {
            // In the order of Vp8Tables: 0 mean, 1 true motion, 2 vertical, 3 horizontal.
            var mode = (byte)(_head.Bit(156) ? _head.Bit(128) ? 1 : 3 : _head.Bit(163) ? 2 : 0);
            above.Fill(mode);
            _modesLeft.AsSpan().Fill(mode);
            return false;
        }

        var tree = Vp8Tables.ModeTree;
        for (var v = 0; v < 4; v++)
        {
            var mode = _modesLeft[v];
            for (var h = 0; h < 4; h++)
            {
                var chances = Vp8Tables.ModeChances.Slice(((above[h] * Modes) + mode) * (Modes - 1), Modes - 1);
                int node = tree[_head.Bit(chances[0]) ? 1 : 0];
                while (node > 0)
                    node = tree[(2 * node) + (_head.Bit(chances[node]) ? 1 : 0)];
                mode = (byte)-node;
                above[h] = mode;
            }

            _modesLeft[v] = mode;
        }

        return true;
    }

    /// <summary>Up to eight decoders; a span of them cannot be, as each holds a span itself.</summary>
    private ref struct Readers
    {
        private Vp8Bits _0, _1, _2, _3, _4, _5, _6, _7;

        [System.Diagnostics.CodeAnalysis.UnscopedRef]
        public ref Vp8Bits At(int i)
        {
            switch (i)
            {
                case 0: return ref _0;
                case 1: return ref _1;
                case 2: return ref _2;
                case 3: return ref _3;
                case 4: return ref _4;
                case 5: return ref _5;
                case 6: return ref _6;
                default: return ref _7;
            }
        }
    }
}
