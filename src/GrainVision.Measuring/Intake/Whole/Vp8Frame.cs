using System.Buffers.Binary;

namespace GrainVision.Measuring.Intake.Whole;

/// <summary>The frame of a lossy WebP (RFC 6386, 9.1): a key frame that is shown, of the file's size, whose first partition lies in the chunk.</summary>
internal static class Vp8Frame
{
    private const int HeaderBytes = 10;

    public static Wholeness Check(ReadOnlySpan<byte> chunk, int width, int height, CancellationToken cancel)
    {
        cancel.ThrowIfCancellationRequested();
        if (chunk.Length < HeaderBytes)
            return Wholeness.EndsEarly;
        var tag = chunk[0] | (chunk[1] << 8) | (chunk[2] << 16);
        var isShownKeyFrame = (tag & 1) == 0 && ((tag >> 4) & 1) == 1;
        if (!isShownKeyFrame || ((tag >> 1) & 7) > 3 || !chunk[3..].StartsWith((ReadOnlySpan<byte>)[0x9D, 0x01, 0x2A]))
            return Wholeness.Damaged;
        int across = BinaryPrimitives.ReadUInt16LittleEndian(chunk[6..]), down = BinaryPrimitives.ReadUInt16LittleEndian(chunk[8..]);
        if ((across & 0x3FFF) != width || (down & 0x3FFF) != height)
            return Wholeness.Damaged;
        return tag >> 5 > chunk.Length - HeaderBytes ? Wholeness.EndsEarly : Wholeness.Whole;
    }
}
