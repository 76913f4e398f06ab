using System.Buffers.Binary;

namespace GrainVision.Synthesis;

/// <summary>Writes the EXIF block of a camera (Exif 2.3: tags 0xA002, 0xA003, 0xA405). They prove a photo whole.</summary>
internal static class PhotoExif
{
    /// <param name="jpeg">A JPEG file.</param>
    /// <param name="width">Of the photo as the camera took it, px.</param>
    /// <param name="height">Likewise.</param>
    /// <param name="focalPx">Focal length, px.</param>
    public static byte[] Into(byte[] jpeg, int width, int height, double focalPx)
    {
        var focal = (int)Math.Round(focalPx / Math.Sqrt(((double)width * width) + ((double)height * height)) * 43.27);
        var tiff = new byte[8 + 2 + 12 + 4 + 2 + 36 + 4];
        "MM"u8.CopyTo(tiff);
        BinaryPrimitives.WriteUInt16BigEndian(tiff.AsSpan(2), 42);
        BinaryPrimitives.WriteUInt32BigEndian(tiff.AsSpan(4), 8);
        BinaryPrimitives.WriteUInt16BigEndian(tiff.AsSpan(8), 1);
        Entry(tiff.AsSpan(10), 0x8769, 4, 26);
        BinaryPrimitives.WriteUInt16BigEndian(tiff.AsSpan(26), 3);
        Entry(tiff.AsSpan(28), 0xA002, 4, (uint)width);
        Entry(tiff.AsSpan(40), 0xA003, 4, (uint)height);
        Entry(tiff.AsSpan(52), 0xA405, 3, (uint)focal << 16);
        var head = new byte[4 + 6];
        (head[0], head[1]) = (0xFF, 0xE1);
        BinaryPrimitives.WriteUInt16BigEndian(head.AsSpan(2), (ushort)(2 + 6 + tiff.Length));
        "Exif\0\0"u8.CopyTo(head.AsSpan(4));

        // Straight after the start-of-image marker.
        return [.. jpeg.AsSpan(0, 2), .. head, .. tiff, .. jpeg.AsSpan(2)];
    }

    private static void Entry(Span<byte> at, ushort tag, ushort type, uint value)
    {
        BinaryPrimitives.WriteUInt16BigEndian(at, tag);
        BinaryPrimitives.WriteUInt16BigEndian(at[2..], type);
        BinaryPrimitives.WriteUInt32BigEndian(at[4..], 1);
        BinaryPrimitives.WriteUInt32BigEndian(at[8..], value);
    }
}
