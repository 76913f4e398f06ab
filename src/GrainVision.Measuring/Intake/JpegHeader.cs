using System.Buffers.Binary;
using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring.Intake;

/// <summary>
/// Walks a JPEG's segments (ITU-T T.81 annex B) to its end without decoding: size, kind of coding, passes, orientation, and whether
/// the file is whole. The decoder itself fills a missing part with grey and says nothing, which here could hide a knot.
/// </summary>
internal static class JpegHeader
{
    private const byte EndOfImage = 0xD9;
    private const byte StartOfScan = 0xDA;
    private const byte App1 = 0xE1;

    /// <summary>256: a coded 8x8 block takes at least one bit for its DC and one for its end, so 64 pixels take at least a quarter byte.</summary>
    private const int MostPixelsPerByte = 256;

    private static ReadOnlySpan<byte> ExifStart => "Exif\0\0"u8;

    public static Outcome<PhotoHeader> Read(ReadOnlySpan<byte> file)
    {
        PhotoHeader? header = null;
        var orientation = 1;
        var exif = ReadOnlySpan<byte>.Empty;
        var passes = 0;
        var scanBytes = 0L;
        var multiPass = false;
        var at = 2;
        while (true)
        {
            var skip = file[at..].IndexOf((byte)0xFF);
            if (skip < 0 || at + skip + 1 >= file.Length)
                return IntakeRefusals.EndsEarly();
            at += skip + 1;
            var marker = file[at];
            if (marker == 0xFF)
                continue; // fill byte
            at++;
            if (marker == EndOfImage)
                break;
            if (marker is 0x00 or 0x01 or (>= 0xD0 and <= 0xD8))
                continue; // no length follows these
            if (at + 2 > file.Length)
                return IntakeRefusals.EndsEarly();
            var length = BinaryPrimitives.ReadUInt16BigEndian(file[at..]);
            if (length < 2)
                return IntakeRefusals.Unreadable();
            if (at + length > file.Length)
                return IntakeRefusals.EndsEarly();
            var body = file.Slice(at + 2, length - 2);
            at += length;
            if (IsFrame(marker))
            {
                if (header is not null || body.Length < 6)
                    return IntakeRefusals.Unreadable();
                if (marker > 0xC2)
                    return IntakeRefusals.VariantNotSupported("a rare JPEG coding (lossless, hierarchical or arithmetic)");
                multiPass = marker == 0xC2;
                header = new PhotoHeader(
                    PhotoFormat.Jpeg, BinaryPrimitives.ReadUInt16BigEndian(body[3..]), BinaryPrimitives.ReadUInt16BigEndian(body[1..]));
            }
            else if (marker == App1 && orientation == 1 && body.StartsWith(ExifStart))
            {
                exif = body[ExifStart.Length..];
                orientation = TiffDirectory.OrientationOf(exif);
            }
            else if (marker == StartOfScan)
            {
                if (header is null)
                    return IntakeRefusals.Unreadable();
                passes++;
                var end = at + EntropyLength(file[at..]);
                scanBytes += end - at;
                at = end;
            }
        }

        if (header is null || passes == 0 || header.Width == 0 || header.Height == 0)
            return IntakeRefusals.Unreadable();
        return header with
        {
            Orientation = orientation,
            WholeFocalPx = ExifFocalLength.PxIfUncropped(exif, header.Width, header.Height),
            Passes = multiPass ? Math.Max(2, passes) : passes,
            HasTooLittleData = !multiPass && scanBytes * MostPixelsPerByte < header.Pixels,
        };
    }

    /// <summary>SOF0 to SOF15 without DHT (C4), JPG (C8) and DAC (CC).</summary>
    private static bool IsFrame(byte marker) => marker is >= 0xC0 and <= 0xCF and not 0xC4 and not 0xC8 and not 0xCC;

    /// <summary>Bytes of coded data up to the next marker that is neither a stuffed FF nor a restart.</summary>
    private static int EntropyLength(ReadOnlySpan<byte> data)
    {
        var at = 0;
        while (true)
        {
            var skip = data[at..].IndexOf((byte)0xFF);
            if (skip < 0 || at + skip + 1 >= data.Length)
                return data.Length;
            at += skip;
            var next = data[at + 1];
            if (next is not 0x00 and not 0xFF and not (>= 0xD0 and <= 0xD7))
                return at;
            at += next == 0xFF ? 1 : 2;
        }
    }
}
