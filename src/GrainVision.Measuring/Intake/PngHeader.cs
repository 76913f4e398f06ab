using System.Buffers.Binary;
using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring.Intake;

/// <summary>Walks a PNG's chunks (ISO/IEC 15948) to its end: size, orientation (eXIf), animation, and whether the file is whole.</summary>
internal static class PngHeader
{
    private const int SignatureLength = 8;

    /// <summary>12: length, type and checksum round a chunk's data.</summary>
    private const int ChunkFrame = 12;

    /// <summary>12: last byte of the header chunk; 0 is none, 1 is Adam7.</summary>
    private const int InterlaceMethod = 12;

    public static Outcome<PhotoHeader> Read(ReadOnlySpan<byte> file)
    {
        PhotoHeader? header = null;
        var hasData = false;
        var at = SignatureLength;
        while (true)
        {
            if (file.Length - at < ChunkFrame)
                return IntakeRefusals.EndsEarly();
            var length = BinaryPrimitives.ReadUInt32BigEndian(file[at..]);
            var type = file.Slice(at + 4, 4);
            if (length > int.MaxValue)
                return IntakeRefusals.Unreadable();
            if (length > file.Length - at - ChunkFrame)
                return IntakeRefusals.EndsEarly();
            var body = file.Slice(at + 8, (int)length);
            at += ChunkFrame + (int)length;
            if (type.SequenceEqual("IHDR"u8))
            {
                if (header is not null || body.Length != 13)
                    return IntakeRefusals.Unreadable();
                var width = BinaryPrimitives.ReadUInt32BigEndian(body);
                var height = BinaryPrimitives.ReadUInt32BigEndian(body[4..]);
                if (width is 0 or > int.MaxValue || height is 0 or > int.MaxValue)
                    return IntakeRefusals.Unreadable();
                // The decoder runs for ever on an interlaced file whose data ends early, and cannot be stopped; no camera or phone writes them.
                if (body[InterlaceMethod] != 0)
                    return IntakeRefusals.VariantNotSupported("interlacing");
                header = new PhotoHeader(PhotoFormat.Png, (int)width, (int)height);
            }
            else if (header is null)
            {
                return IntakeRefusals.Unreadable();
            }
            else if (type.SequenceEqual("IDAT"u8))
            {
                hasData = true;
            }
            else if (type.SequenceEqual("eXIf"u8))
            {
                header = header with { Orientation = TiffDirectory.OrientationOf(body) };
            }
            else if (type.SequenceEqual("acTL"u8))
            {
                header = header with { HasMoreFrames = true };
            }
            else if (type.SequenceEqual("IEND"u8))
            {
                return hasData ? header : IntakeRefusals.Unreadable();
            }
        }
    }
}
