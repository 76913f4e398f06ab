using System.Buffers.Binary;
using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring.Intake;

/// <summary>Reads a WebP's chunks (RFC 9649): size, orientation (EXIF), animation, and whether the file is whole.</summary>
internal static class WebpHeader
{
    private const int FirstChunk = 12;
    private const byte AnimationFlag = 0x02;

    public static Outcome<PhotoHeader> Read(ReadOnlySpan<byte> file)
    {
        var riffLength = BinaryPrimitives.ReadUInt32LittleEndian(file[4..]);
        if (riffLength + 8L > file.Length)
            return IntakeRefusals.EndsEarly();
        PhotoHeader? header = null;
        var orientation = 1;
        var at = FirstChunk;
        while (file.Length - at >= 8)
        {
            var type = file.Slice(at, 4);
            var length = BinaryPrimitives.ReadUInt32LittleEndian(file[(at + 4)..]);
            if (length > file.Length - at - 8)
                return IntakeRefusals.EndsEarly();
            var body = file.Slice(at + 8, (int)length);
            at += 8 + (int)Math.Min(length + (length & 1), file.Length - at - 8);
            if (type.SequenceEqual("EXIF"u8))
                orientation = TiffDirectory.OrientationOf(body.StartsWith("Exif\0\0"u8) ? body[6..] : body);
            else if (header is null && Size(type, body) is { } found)
                header = found;
        }

        return header is null ? IntakeRefusals.Unreadable() : header with { Orientation = orientation };
    }

    private static PhotoHeader? Size(ReadOnlySpan<byte> type, ReadOnlySpan<byte> body)
    {
        if (type.SequenceEqual("VP8X"u8) && body.Length >= 10)
        {
            return new PhotoHeader(PhotoFormat.Webp, 1 + ReadUInt24(body[4..]), 1 + ReadUInt24(body[7..]))
            {
                HasMoreFrames = (body[0] & AnimationFlag) != 0,
            };
        }

        if (type.SequenceEqual("VP8L"u8) && body.Length >= 5 && body[0] == 0x2F)
        {
            var bits = BinaryPrimitives.ReadUInt32LittleEndian(body[1..]);
            return new PhotoHeader(PhotoFormat.Webp, 1 + (int)(bits & 0x3FFF), 1 + (int)((bits >> 14) & 0x3FFF));
        }

        if (type.SequenceEqual("VP8 "u8) && body.Length >= 10 && body[3..].StartsWith((ReadOnlySpan<byte>)[0x9D, 0x01, 0x2A]))
        {
            var width = BinaryPrimitives.ReadUInt16LittleEndian(body[6..]) & 0x3FFF;
            var height = BinaryPrimitives.ReadUInt16LittleEndian(body[8..]) & 0x3FFF;
            return width == 0 || height == 0 ? null : new PhotoHeader(PhotoFormat.Webp, width, height);
        }

        return null;
    }

    private static int ReadUInt24(ReadOnlySpan<byte> b) => b[0] | (b[1] << 8) | (b[2] << 16);
}
