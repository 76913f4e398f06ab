using System.IO.Compression;

namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>Counts the bytes of a zlib stream (RFC 1950) without keeping them. The framework's reader may stop before the stream's checksum: it is compared here.</summary>
internal static class DeflatedPixels
{
    private const int BufferBytes = 65_536;

    /// <summary>65,521: the largest prime below 2 to the 16 (RFC 1950, 8.2).</summary>
    private const uint AdlerModulus = 65_521;

    /// <summary>5,552: sums of so many bytes still fit 32 bits.</summary>
    private const int AdlerBlock = 5_552;

    /// <summary>Unpacks to the end, but never beyond <paramref name="most"/> + one buffer.</summary>
    /// <param name="packed">The zlib stream.</param>
    /// <param name="least">Fewer bytes: part of the picture is missing.</param>
    /// <param name="most">More bytes: the header does not belong to this data.</param>
    /// <param name="checksum">The stream's last four bytes as a number; null: not compared.</param>
    /// <param name="cancel">Checked at each buffer.</param>
    public static CodedPixelsFinding Count(Stream packed, long least, long most, uint? checksum, CancellationToken cancel)
    {
        using var unpacked = new ZLibStream(packed, CompressionMode.Decompress);
        var buffer = new byte[BufferBytes];
        long count = 0;
        var adler = (Low: 1u, High: 0u);
        try
        {
            while (unpacked.Read(buffer) is var n && n > 0)
            {
                cancel.ThrowIfCancellationRequested();
                count += n;
                if (checksum is not null)
                    Add(ref adler, buffer.AsSpan(0, n));
                if (count > most)
                    return CodedPixelsFinding.Damaged;
            }
        }
        catch (Exception e) when (e is InvalidDataException or IOException)
        {
            // A preset dictionary makes zlib answer with a code that the framework has no exception of its own for.
            return count < least ? CodedPixelsFinding.EndsEarly : CodedPixelsFinding.Damaged;
        }

        if (count < least)
            return CodedPixelsFinding.EndsEarly;
        return checksum is null || checksum == ((adler.High << 16) | adler.Low) ? CodedPixelsFinding.Complete : CodedPixelsFinding.Damaged;
    }

    private static void Add(ref (uint Low, uint High) adler, ReadOnlySpan<byte> bytes)
    {
        var (low, high) = adler;
        while (!bytes.IsEmpty)
        {
            var block = bytes[..Math.Min(bytes.Length, AdlerBlock)];
            foreach (var b in block)
                high += low += b;
            low %= AdlerModulus;
            high %= AdlerModulus;
            bytes = bytes[block.Length..];
        }

        adler = (low, high);
    }
}
