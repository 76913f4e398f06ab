using System.Runtime.CompilerServices;

namespace GrainVision.Synthesis;

/// <summary>A raster with a scale of its own: an engraved rule, a printed card, a stamp.</summary>
/// <param name="Width">px.</param>
/// <param name="Height">px.</param>
/// <param name="Channels">1 for grey, 3 for blue-green-red.</param>
/// <param name="Bytes">Rows from the top.</param>
/// <param name="Stride">Bytes a row.</param>
/// <param name="PixelsPerMm">Its scale.</param>
public sealed record Picture(int Width, int Height, int Channels, byte[] Bytes, int Stride, double PixelsPerMm)
{
    /// <summary>Bilinear look-up, 0 to 255; the edge pixels go on for ever. Pixel i covers i to i + 1.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal float At(float x, float y, int channel)
    {
        x = Math.Clamp(x - 0.5f, 0, Width - 1.001f);
        y = Math.Clamp(y - 0.5f, 0, Height - 1.001f);
        var x0 = (int)x;
        var y0 = (int)y;
        var tx = x - x0;
        var ty = y - y0;
        var i = (y0 * Stride) + (x0 * Channels) + channel;
        var right = x0 + 1 < Width ? Channels : 0;
        var down = y0 + 1 < Height ? Stride : 0;
        float a = Bytes[i], b = Bytes[i + right], c = Bytes[i + down], d = Bytes[i + down + right];
        var top = a + (tx * (b - a));
        return top + (ty * (c + (tx * (d - c)) - top));
    }
}
