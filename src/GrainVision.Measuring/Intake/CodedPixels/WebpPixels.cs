using System.Buffers.Binary;

namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>
/// The picture in a WebP's chunks (RFC 9649, 2): there is one, its own size is the file's, and all of its pixels are coded.
/// </summary>
/// <remarks>For files whose chunks were walked before (<see cref="WebpHeader"/>).</remarks>
internal static class WebpPixels
{
    private const int FirstChunk = 12;
    private const int ChunkFrame = 8;

    public static CodedPixelsFinding Check(ReadOnlySpan<byte> file, int width, int height, CancellationToken cancel)
    {
        var pictures = 0;
        var end = (int)Math.Min(file.Length, BinaryPrimitives.ReadUInt32LittleEndian(file[4..]) + 8L);
        for (var at = FirstChunk; end - at >= ChunkFrame;)
        {
            var type = file.Slice(at, 4);
            var length = BinaryPrimitives.ReadUInt32LittleEndian(file[(at + 4)..]);
            if (length > end - at - ChunkFrame)
                return CodedPixelsFinding.EndsEarly;
            var body = file.Slice(at + ChunkFrame, (int)length);
            at += ChunkFrame + (int)Math.Min(length + (length & 1), end - at - ChunkFrame);
            var found = CodedPixelsFinding.Complete;
            if (type.SequenceEqual("VP8L"u8))
                found = Lossless(body, width, height, cancel);
            else if (type.SequenceEqual("VP8 "u8))
                found = Vp8Frame.Check(body, width, height, cancel);
            else if (type.SequenceEqual("ALPH"u8))
                found = Transparency(body, width, height, cancel);
            else
                continue;
            if (found != CodedPixelsFinding.Complete)
                return found;
            pictures += type.SequenceEqual("ALPH"u8) ? 0 : 1;
        }

        return pictures switch { 0 => CodedPixelsFinding.EndsEarly, 1 => CodedPixelsFinding.Complete, _ => CodedPixelsFinding.Damaged };
    }

    private static CodedPixelsFinding Lossless(ReadOnlySpan<byte> body, int width, int height, CancellationToken cancel)
    {
        if (body.Length < 5)
            return CodedPixelsFinding.EndsEarly;
        var size = BinaryPrimitives.ReadUInt32LittleEndian(body[1..]);
        return (int)(size & 0x3FFF) + 1 != width || (int)((size >> 14) & 0x3FFF) + 1 != height
            ? CodedPixelsFinding.Damaged
            : Vp8lPixels.Check(body, width, height, cancel);
    }

    /// <summary>2.7.1.2: bits 0 and 1 tell the coding: 0 none, 1 lossless.</summary>
    private static CodedPixelsFinding Transparency(ReadOnlySpan<byte> body, int width, int height, CancellationToken cancel)
    {
        if (body.IsEmpty)
            return CodedPixelsFinding.EndsEarly;
        return (body[0] & 3) switch
        {
            0 => body.Length - 1 < (long)width * height ? CodedPixelsFinding.EndsEarly : CodedPixelsFinding.Complete,
            1 => Vp8lPixels.CheckStream(body[1..], width, height, cancel),
            _ => CodedPixelsFinding.Damaged,
        };
    }
}
