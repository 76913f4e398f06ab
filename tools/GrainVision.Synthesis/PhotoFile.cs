using System.Runtime.InteropServices;
using SkiaSharp;

namespace GrainVision.Synthesis;

/// <summary>Writes pixels as files.</summary>
internal static class PhotoFile
{
    public static byte[] Jpeg(byte[] bgr, int width, int height, int quality) =>
        Encode(bgr, width, height, pixmap => pixmap.Encode(new SKJpegEncoderOptions(quality, SKJpegEncoderDownsample.Downsample420, SKJpegEncoderAlphaOption.Ignore)));

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
