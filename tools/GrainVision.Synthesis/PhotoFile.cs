using System.Runtime.InteropServices;
using SkiaSharp;

namespace GrainVision.Synthesis;

/// <summary>Writes pixels as files.</summary>
internal static class PhotoFile
{
    public static byte[] Jpeg(byte[] bgr, int width, int height, int quality) =>
        Encode(bgr, width, height, pixmap => pixmap.Encode(new SKJpegEncoderOptions(quality, SKJpegEncoderDownsample.Downsample420, SKJpegEncoderAlphaOption.Ignore)));

    /// <summary>
    /// A JPEG as a phone held sideways writes it: the pixels turned, and the EXIF tag (CIPA DC-008 tag 0112) that says how to turn
    /// them back. 1 upright, 3 half a turn, 6 and 8 a quarter.
    /// </summary>
    public static byte[] TurnedJpeg(byte[] bgr, int width, int height, int quality, int orientation)
    {
        var (pixels, w, h) = orientation switch
        {
            1 => (bgr, width, height),
            3 => (Turn(bgr, width, height, (x, y) => (width - 1 - x, height - 1 - y), width, height), width, height),
            // 6: to be shown turned clockwise, so the stored picture is the upright one turned the other way.
            6 => (Turn(bgr, width, height, (x, y) => (y, width - 1 - x), height, width), height, width),
            8 => (Turn(bgr, width, height, (x, y) => (height - 1 - y, x), height, width), height, width),
            _ => throw new ArgumentOutOfRangeException(nameof(orientation), orientation, "1, 3, 6 or 8."),
        };
        var jpeg = Jpeg(pixels, w, h, quality);
        byte[] exif =
        [
            0xFF, 0xE1, 0x00, 0x22, (byte)'E', (byte)'x', (byte)'i', (byte)'f', 0, 0,
            (byte)'M', (byte)'M', 0, 42, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, (byte)orientation, 0, 0, 0, 0, 0, 0,
        ];
        // Straight after the start-of-image marker.
        return [.. jpeg.AsSpan(0, 2), .. exif, .. jpeg.AsSpan(2)];
    }

    private static byte[] Turn(byte[] bgr, int width, int height, Func<int, int, (int X, int Y)> to, int newWidth, int newHeight)
    {
        var turned = new byte[newWidth * newHeight * 3];
        for (var y = 0; y < height; y++)
        {
            for (var x = 0; x < width; x++)
            {
                var (tx, ty) = to(x, y);
                bgr.AsSpan(((y * width) + x) * 3, 3).CopyTo(turned.AsSpan(((ty * newWidth) + tx) * 3));
            }
        }

        return turned;
    }

    public static byte[] Png(byte[] bgr, int width, int height) =>
        Encode(bgr, width, height, pixmap => pixmap.Encode(SKEncodedImageFormat.Png, 100));

    private static byte[] Encode(byte[] bgr, int width, int height, Func<SKPixmap, SKData?> encode)
    {
        using var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Bgra8888, SKAlphaType.Opaque));
        var to = MemoryMarshal.Cast<byte, uint>(bitmap.GetPixelSpan());
        for (int i = 0, j = 0; i < to.Length; i++, j += 3)
            to[i] = bgr[j] | ((uint)bgr[j + 1] << 8) | ((uint)bgr[j + 2] << 16) | 0xFF000000u;
        using var pixmap = bitmap.PeekPixels();
        using var data = encode(pixmap) ?? throw new InvalidOperationException("Skia could not encode the photo.");
        return data.ToArray();
    }
}
