using System.Buffers.Binary;
using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring.Intake;

/// <summary>Reads a BMP's headers: size, and whether all pixels are there.</summary>
internal static class BmpHeader
{
    private const int FileHeaderLength = 14;
    private const int CoreHeaderLength = 12;

    public static Outcome<PhotoHeader> Read(ReadOnlySpan<byte> file)
    {
        if (file.Length < FileHeaderLength + CoreHeaderLength)
            return IntakeRefusals.EndsEarly();
        var pixelsAt = BinaryPrimitives.ReadUInt32LittleEndian(file[10..]);
        var headerLength = BinaryPrimitives.ReadUInt32LittleEndian(file[FileHeaderLength..]);
        var info = file[FileHeaderLength..];
        long width, height;
        int bitsPerPixel;
        uint compression = 0;
        if (headerLength == CoreHeaderLength)
        {
            width = BinaryPrimitives.ReadUInt16LittleEndian(info[4..]);
            height = BinaryPrimitives.ReadUInt16LittleEndian(info[6..]);
            bitsPerPixel = BinaryPrimitives.ReadUInt16LittleEndian(info[10..]);
        }
        else
        {
            if (info.Length < 20)
                return IntakeRefusals.EndsEarly();
            width = BinaryPrimitives.ReadInt32LittleEndian(info[4..]);
            height = Math.Abs((long)BinaryPrimitives.ReadInt32LittleEndian(info[8..])); // negative: rows from the top
            bitsPerPixel = BinaryPrimitives.ReadUInt16LittleEndian(info[14..]);
            compression = BinaryPrimitives.ReadUInt32LittleEndian(info[16..]);
        }

        if (width <= 0 || height is <= 0 or > int.MaxValue || bitsPerPixel is < 1 or > 32)
            return IntakeRefusals.Unreadable();
        if (compression is not (0 or 3 or 6)) // RGB, bit fields, bit fields with alpha
            return IntakeRefusals.VariantNotSupported("a BMP with packed pixels"); // run lengths may skip pixels; no camera writes them
        var rowBytes = ((width * bitsPerPixel) + 31) / 32 * 4;
        if ((decimal)rowBytes * height > file.Length - (long)pixelsAt)
            return IntakeRefusals.EndsEarly();
        return new PhotoHeader(PhotoFormat.Bmp, (int)width, (int)height);
    }
}
