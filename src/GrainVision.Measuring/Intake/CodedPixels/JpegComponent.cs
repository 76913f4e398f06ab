namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>One colour channel of a JPEG (ITU-T T.81, A.1.1) and what the scans have told of it so far.</summary>
internal sealed class JpegComponent(byte id, int across, int down)
{
    private const int Coefficients = 64;
    private const sbyte Untold = -1;

    /// <summary>Per coefficient the lowest bit that was told, or <see cref="Untold"/>.</summary>
    private readonly sbyte[] _told = [.. Enumerable.Repeat(Untold, Coefficients)];

    public byte Id { get; } = id;

    /// <summary>Blocks of an interleaved unit, left to right.</summary>
    public int Across { get; } = across;

    /// <summary>Blocks of an interleaved unit, top to bottom.</summary>
    public int Down { get; } = down;

    /// <summary>Slot of its table of steps.</summary>
    public int StepTable { get; init; }

    /// <summary>Blocks of 8 x 8 that hold picture: what a scan of this channel alone codes.</summary>
    public int BlocksWide { get; init; }

    public int BlocksHigh { get; init; }

    /// <summary>Blocks of a row with the filling up to whole units.</summary>
    public int RowBlocks { get; init; }

    /// <summary>Per block, in several passes only: which coefficients are not zero so far, a bit each.</summary>
    public ulong[] NotZero { get; init; } = [];

    /// <summary>Every coefficient was told to its last bit.</summary>
    public bool IsComplete => Array.TrueForAll(_told, b => b == 0);

    /// <summary>Notes that a scan tells these coefficients; false where it repeats or skips a bit (G.1.1.1.2).</summary>
    public bool Tell(int first, int last, int highBit, int lowBit)
    {
        for (var k = first; k <= last; k++)
        {
            var follows = highBit == 0 ? _told[k] == Untold : _told[k] == highBit && lowBit == highBit - 1;
            if (!follows)
                return false;
            _told[k] = (sbyte)lowBit;
        }

        return true;
    }
}
