using System.IO.Compression;

namespace GrainVision.Measuring.Intake.Whole;

/// <summary>Counts the bytes of a zlib stream (RFC 1950) without keeping them; its Adler checksum is compared on the way by the framework.</summary>
internal static class DeflatedPixels
{
    private const int BufferBytes = 65_536;

    /// <summary>Unpacks to the end, but never beyond <paramref name="most"/> + one buffer.</summary>
    /// <param name="packed">The zlib stream.</param>
    /// <param name="least">Fewer bytes: part of the picture is missing.</param>
    /// <param name="most">More bytes: the header does not belong to this data.</param>
    /// <param name="cancel">Checked at each buffer.</param>
    public static Wholeness Count(Stream packed, long least, long most, CancellationToken cancel)
    {
        using var unpacked = new ZLibStream(packed, CompressionMode.Decompress);
        var buffer = new byte[BufferBytes];
        long count = 0;
        try
        {
            while (unpacked.Read(buffer) is var n && n > 0)
            {
                cancel.ThrowIfCancellationRequested();
                count += n;
                if (count > most)
                    return Wholeness.Damaged;
            }
        }
        catch (InvalidDataException)
        {
            return count < least ? Wholeness.EndsEarly : Wholeness.Damaged;
        }

        return count < least ? Wholeness.EndsEarly : Wholeness.Whole;
    }
}
