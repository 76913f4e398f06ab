using System.Buffers.Binary;
using System.Text;

namespace GrainVision.Presentation.Cards;

/// <summary>Writes the print resolution into a PNG: the pHYs chunk of ISO/IEC 15948, without which a printer guesses the size.</summary>
internal static class PngResolution
{
    /// <summary>Signature (8 bytes) and the IHDR chunk (25 bytes) come first; pHYs follows them.</summary>
    private const int AfterHeader = 33;

    public static byte[] Stamp(ReadOnlySpan<byte> png, int dpi)
    {
        Span<byte> chunk = stackalloc byte[21];
        BinaryPrimitives.WriteInt32BigEndian(chunk, 9);
        Encoding.ASCII.GetBytes("pHYs", chunk[4..]);
        var pixelsPerMetre = (int)Math.Round(dpi / 0.0254);
        BinaryPrimitives.WriteInt32BigEndian(chunk[8..], pixelsPerMetre);
        BinaryPrimitives.WriteInt32BigEndian(chunk[12..], pixelsPerMetre);
        chunk[16] = 1;
        BinaryPrimitives.WriteUInt32BigEndian(chunk[17..], Crc(chunk[4..17]));
        return [.. png[..AfterHeader], .. chunk, .. png[AfterHeader..]];
    }

    private static uint Crc(ReadOnlySpan<byte> bytes)
    {
        var crc = 0xFFFFFFFFu;
        foreach (var b in bytes)
        {
            crc ^= b;
            for (var bit = 0; bit < 8; bit++)
                crc = (crc & 1) != 0 ? (crc >> 1) ^ 0xEDB88320u : crc >> 1;
        }

        return ~crc;
    }
}
