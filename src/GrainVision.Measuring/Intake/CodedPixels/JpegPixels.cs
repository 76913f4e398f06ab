using System.Buffers.Binary;

namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>
/// Walks a JPEG's tables and scans (ITU-T T.81, annexes B, F, G) as a decoder does, without computing pixels: every block of every channel
/// must be coded to its last bit, and nothing beside them. The decoder fills what is missing with grey.
/// </summary>
/// <remarks>
/// For files whose segments were walked before (<see cref="JpegHeader"/>): Huffman coding, one or several passes.
/// A JPEG has no checksum. Bytes cut out or changed shift the codes behind them, and the count of blocks then nearly always ends wrong;
/// else the values behind them soon leave the range that pixels can give. A change that leaves both right (a few bytes in a calm part, a table
/// of steps) is not found.
/// </remarks>
internal sealed class JpegPixels
{
    private const int MostTables = 4;

    private readonly JpegHuffman?[] _dc = new JpegHuffman?[MostTables];
    private readonly JpegHuffman?[] _ac = new JpegHuffman?[MostTables];
    private readonly ushort[]?[] _steps = new ushort[]?[MostTables];
    private JpegComponent[] _components = [];
    private int _sampleBits;
    private bool _multiPass;
    private int _unitsWide;
    private int _unitsHigh;
    private int _restartEvery;

    private JpegPixels()
    {
    }

    public static CodedPixelsFinding Check(ReadOnlySpan<byte> file, CancellationToken cancel) => new JpegPixels().Walk(file, cancel);

    private CodedPixelsFinding Walk(ReadOnlySpan<byte> file, CancellationToken cancel)
    {
        for (var at = 2; ;)
        {
            while (at < file.Length && file[at] == 0) // filling between segments, as some cameras write it
                at++;
            if (at + 4 > file.Length)
                return IsEnd(file, at) ? Complete() : CodedPixelsFinding.EndsEarly;
            if (file[at] != 0xFF)
                return CodedPixelsFinding.Damaged;
            var marker = file[at + 1];
            if (marker == 0xFF)
            {
                at++;
                continue;
            }

            if (marker == 0xD9)
                return Complete();
            if (marker is 0x00 or 0x01 or (>= 0xD0 and <= 0xD8))
                return CodedPixelsFinding.Damaged; // a restart marker that belongs to no scan, or a picture in the picture
            var length = BinaryPrimitives.ReadUInt16BigEndian(file[(at + 2)..]);
            if (length < 2 || at + 2 + length > file.Length)
                return CodedPixelsFinding.EndsEarly;
            var body = file.Slice(at + 4, length - 2);
            at += 2 + length;
            var found = marker switch
            {
                0xC0 or 0xC1 or 0xC2 => Frame(marker, body),
                0xC4 => Tables(body),
                0xDB => Steps(body),
                0xDD => Restart(body),
                0xDA => Scan(file, ref at, body, cancel),
                _ => CodedPixelsFinding.Complete,
            };
            if (found != CodedPixelsFinding.Complete)
                return found;
        }
    }

    private static bool IsEnd(ReadOnlySpan<byte> file, int at) => at + 2 <= file.Length && file[at] == 0xFF && file[at + 1] == 0xD9;

    private CodedPixelsFinding Complete() =>
        _components.Length > 0 && Array.TrueForAll(_components, c => c.IsComplete) ? CodedPixelsFinding.Complete : CodedPixelsFinding.EndsEarly;

    private CodedPixelsFinding Restart(ReadOnlySpan<byte> body)
    {
        if (body.Length != 2)
            return CodedPixelsFinding.Damaged;
        _restartEvery = BinaryPrimitives.ReadUInt16BigEndian(body);
        return CodedPixelsFinding.Complete;
    }

    /// <summary>B.2.2 and A.1.1.</summary>
    private CodedPixelsFinding Frame(byte marker, ReadOnlySpan<byte> body)
    {
        if (_components.Length > 0 || body.Length < 6 || body[5] is < 1 or > 4 || body.Length != 6 + (3 * body[5]))
            return CodedPixelsFinding.Damaged;
        _sampleBits = body[0];
        if (_sampleBits is not (8 or 12))
            return CodedPixelsFinding.Damaged;
        _multiPass = marker == 0xC2;
        int height = BinaryPrimitives.ReadUInt16BigEndian(body[1..]), width = BinaryPrimitives.ReadUInt16BigEndian(body[3..]);
        int mostAcross = 1, mostDown = 1;
        for (var i = 6; i < body.Length; i += 3)
        {
            int across = body[i + 1] >> 4, down = body[i + 1] & 15;
            if (across is < 1 or > 4 || down is < 1 or > 4 || body[i + 2] >= MostTables)
                return CodedPixelsFinding.Damaged;
            (mostAcross, mostDown) = (Math.Max(mostAcross, across), Math.Max(mostDown, down));
        }

        (_unitsWide, _unitsHigh) = (Parts(width, 8 * mostAcross), Parts(height, 8 * mostDown));
        _components = new JpegComponent[body[5]];
        for (var i = 0; i < _components.Length; i++)
        {
            var c = body[(6 + (3 * i))..];
            int across = c[1] >> 4, down = c[1] & 15;
            _components[i] = new JpegComponent(c[0], across, down)
            {
                StepTable = c[2],
                BlocksWide = Parts(Parts(width * across, mostAcross), 8),
                BlocksHigh = Parts(Parts(height * down, mostDown), 8),
                RowBlocks = _unitsWide * across,
                NotZero = _multiPass ? new ulong[_unitsWide * across * _unitsHigh * down] : [],
            };
        }

        return CodedPixelsFinding.Complete;
    }

    /// <summary>B.2.4.1: the steps that coefficients count in.</summary>
    private CodedPixelsFinding Steps(ReadOnlySpan<byte> body)
    {
        while (!body.IsEmpty)
        {
            int bytes = (body[0] >> 4) + 1, slot = body[0] & 15;
            if (bytes > 2 || slot >= MostTables || body.Length < 1 + (64 * bytes))
                return CodedPixelsFinding.Damaged;
            var steps = new ushort[64];
            for (var k = 0; k < 64; k++)
                steps[k] = bytes == 1 ? body[1 + k] : BinaryPrimitives.ReadUInt16BigEndian(body[(1 + (2 * k))..]);
            _steps[slot] = steps;
            body = body[(1 + (64 * bytes))..];
        }

        return CodedPixelsFinding.Complete;
    }

    /// <summary>B.2.4.2.</summary>
    private CodedPixelsFinding Tables(ReadOnlySpan<byte> body)
    {
        while (body.Length >= 17)
        {
            var symbols = 0;
            foreach (var count in body.Slice(1, 16))
                symbols += count;
            int kind = body[0] >> 4, slot = body[0] & 15;
            if (kind > 1 || slot >= MostTables || symbols > 256 || body.Length < 17 + symbols
                || JpegHuffman.Read(body.Slice(1, 16), body.Slice(17, symbols)) is not { } table)
                return CodedPixelsFinding.Damaged;
            (kind == 0 ? _dc : _ac)[slot] = table;
            body = body[(17 + symbols)..];
        }

        return body.IsEmpty ? CodedPixelsFinding.Complete : CodedPixelsFinding.Damaged;
    }

    /// <summary>B.2.3.</summary>
    private CodedPixelsFinding Scan(ReadOnlySpan<byte> file, ref int at, ReadOnlySpan<byte> body, CancellationToken cancel)
    {
        if (body.IsEmpty || body[0] is < 1 or > 4 || body.Length != 4 + (2 * body[0]))
            return CodedPixelsFinding.Damaged;
        var tail = body[^3..];
        var band = _multiPass ? new JpegScan.Band(true, tail[0], tail[1], tail[2] >> 4, tail[2] & 15) : new JpegScan.Band(false, 0, 63, 0, 0);
        if (band.Last > 63 || band.First > band.Last || band.LowBit > 13 || (_multiPass && (band.First == 0 ? band.Last != 0 : body[0] != 1)))
            return CodedPixelsFinding.Damaged;
        var channels = new JpegScan.Channel[body[0]];
        for (var i = 0; i < channels.Length; i++)
        {
            int id = body[1 + (2 * i)], tables = body[2 + (2 * i)];
            if (Array.Find(_components, c => c.Id == id) is not { } component || (tables >> 4) >= MostTables || (tables & 15) >= MostTables
                || !component.Tell(band.First, band.Last, band.HighBit, band.LowBit))
                return CodedPixelsFinding.Damaged;
            if (_steps[component.StepTable] is not { } steps)
                return CodedPixelsFinding.Damaged;
            channels[i] = new JpegScan.Channel(component, _dc[tables >> 4], _ac[tables & 15], steps);
            var lacksDc = band.First == 0 && band.HighBit == 0 && channels[i].Dc is null;
            var lacksAc = band.Last > 0 && channels[i].Ac is null;
            if (lacksDc || lacksAc)
                return CodedPixelsFinding.Damaged;
        }

        var scan = new JpegScan(file, at, _sampleBits);
        var found = scan.Walk(channels, band, _unitsWide, _unitsHigh, _restartEvery, cancel);
        at = scan.End;
        return found;
    }

    private static int Parts(int whole, int part) => (whole + part - 1) / part;
}
