using System.Diagnostics;
using System.Runtime.InteropServices;
using OpenCvSharp;
using SixLabors.ImageSharp;
using SixLabors.ImageSharp.Formats;
using SixLabors.ImageSharp.Formats.Bmp;
using SixLabors.ImageSharp.Formats.Jpeg;
using SixLabors.ImageSharp.Formats.Png;
using SixLabors.ImageSharp.Formats.Tiff;
using SixLabors.ImageSharp.Formats.Webp;
using SixLabors.ImageSharp.Metadata;
using SixLabors.ImageSharp.PixelFormats;

namespace GrainVision.Measuring.Intake;

/// <summary>Runs the managed decoder of one known format over one file. Throws whatever the decoder throws: the caller judges it.</summary>
internal static class PixelDecoder
{
    /// <summary>65,536: larger reads than the decoder's 8 KB save calls; more gained nothing on a 12 MP JPEG.</summary>
    private const int ReadBufferBytes = 65_536;

    /// <summary>The picture as stored, 8-bit BGR; the caller owns it.</summary>
    public static Mat Decode(ReadOnlyMemory<byte> photo, PhotoHeader header, long ceilingBytes, CancellationToken cancel)
    {
        using var memory = new DecodingMemory(header.Width, header.Height, ceilingBytes);
        var configuration = new Configuration
        {
            MaxDegreeOfParallelism = 1,
            MemoryAllocator = memory,
            PreferContiguousImageBuffers = true,
            StreamProcessingBufferSize = ReadBufferBytes,
        };
        using var stream = AsStream(photo);
        return header.Format == PhotoFormat.Jpeg
            ? DecodeOpaque(configuration, stream, memory, header, cancel)
            : DecodeWithAlpha(configuration, stream, header, cancel);
    }

    /// <summary>A JPEG has no alpha: it is decoded straight into the matrix.</summary>
    private static Mat DecodeOpaque(Configuration configuration, Stream stream, DecodingMemory memory, PhotoHeader header, CancellationToken cancel)
    {
        using var image = new JpegDecoder { IgnoreMetadata = true }.Decode<Bgr24>(configuration, stream, cancel);
        CheckSize(image, header);
        return memory.TakePicture() ?? throw new InvalidImageContentException("The decoder did not write one picture of the header's size.");
    }

    private static Mat DecodeWithAlpha(Configuration configuration, Stream stream, PhotoHeader header, CancellationToken cancel)
    {
        using Image<Bgra32> image = header.Format switch
        {
            PhotoFormat.Png => new PngDecoder { IgnoreMetadata = true }.Decode<Bgra32>(configuration, stream, cancel),
            PhotoFormat.Webp => new WebpDecoder { IgnoreMetadata = true }.Decode<Bgra32>(configuration, stream, cancel),
            PhotoFormat.Tiff => new TiffDecoder { IgnoreMetadata = true, DecodingMode = FrameDecodingMode.First }.Decode<Bgra32>(configuration, stream, cancel),
            PhotoFormat.Bmp => new BmpDecoder().Decode<Bgra32>(configuration, stream, cancel),
            var other => throw new UnreachableException($"Nothing decodes {other}."),
        };
        CheckSize(image, header);
        var mat = new Mat(image.Height, image.Width, MatType.CV_8UC3);
        image.ProcessPixelRows(rows =>
        {
            for (var y = 0; y < rows.Height; y++)
                OverWhite(rows.GetRowSpan(y), mat.Ptr(y));
        });
        return mat;
    }

    private static unsafe void OverWhite(ReadOnlySpan<Bgra32> from, IntPtr row)
    {
        var to = new Span<Bgr24>((void*)row, from.Length);
        for (var x = 0; x < from.Length; x++)
        {
            var p = from[x];
            if (p.A != 255)
            {
                var white = (255 - p.A) * 255;
                p.B = (byte)(((p.B * p.A) + white + 127) / 255);
                p.G = (byte)(((p.G * p.A) + white + 127) / 255);
                p.R = (byte)(((p.R * p.A) + white + 127) / 255);
            }

            to[x] = new Bgr24(p.R, p.G, p.B);
        }
    }

    /// <summary>The header was judged, so the pixels must be those of that header.</summary>
    private static void CheckSize(Image image, PhotoHeader header)
    {
        if (image.Width != header.Width || image.Height != header.Height)
            throw new InvalidImageContentException("The picture's size is not the header's.");
    }

    private static MemoryStream AsStream(ReadOnlyMemory<byte> photo) => MemoryMarshal.TryGetArray(photo, out var array)
        ? new MemoryStream(array.Array!, array.Offset, array.Count, writable: false)
        : new MemoryStream(photo.ToArray(), writable: false);
}
