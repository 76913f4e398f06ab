namespace GrainVision.Grading.Quantities;

/// <summary>Pixels of an upright photo, or of a rectangle of it, as plain data: only to read, and only while their owner lives.</summary>
/// <param name="bgr">Blue, green and red, a byte each, row by row from the first pixel's byte on; the last row may end after its last pixel.</param>
/// <param name="widthPx">Pixels in a row.</param>
/// <param name="heightPx">Rows.</param>
/// <param name="strideBytes">From one row's first byte to the next row's.</param>
public readonly ref struct PhotoPixels(ReadOnlySpan<byte> bgr, int widthPx, int heightPx, int strideBytes)
{
    /// <summary>Bytes of a pixel.</summary>
    public const int PixelBytes = 3;

    public ReadOnlySpan<byte> Bgr { get; } = bgr;

    public int WidthPx { get; } = widthPx;

    public int HeightPx { get; } = heightPx;

    public int StrideBytes { get; } = strideBytes;

    /// <summary>A rectangle of these pixels; nothing is copied.</summary>
    /// <exception cref="ArgumentOutOfRangeException">It does not lie within them, or holds no pixel.</exception>
    public PhotoPixels Part(int leftPx, int topPx, int widthPx, int heightPx)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(leftPx);
        ArgumentOutOfRangeException.ThrowIfNegative(topPx);
        ArgumentOutOfRangeException.ThrowIfLessThan(widthPx, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(heightPx, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(widthPx, WidthPx - leftPx);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(heightPx, HeightPx - topPx);
        var from = (topPx * StrideBytes) + (leftPx * PixelBytes);
        return new PhotoPixels(Bgr.Slice(from, ((heightPx - 1) * StrideBytes) + (widthPx * PixelBytes)), widthPx, heightPx, StrideBytes);
    }
}

/// <summary>Pixels of a picture that is being drawn, or of a rectangle of it.</summary>
/// <param name="bgra">Blue, green, red and 255, a byte each, as in <see cref="PhotoPixels"/>.</param>
/// <param name="widthPx">Pixels in a row.</param>
/// <param name="heightPx">Rows.</param>
/// <param name="strideBytes">From one row's first byte to the next row's.</param>
public readonly ref struct CanvasPixels(Span<byte> bgra, int widthPx, int heightPx, int strideBytes)
{
    /// <summary>Bytes of a pixel.</summary>
    public const int PixelBytes = 4;

    public Span<byte> Bgra { get; } = bgra;

    public int WidthPx { get; } = widthPx;

    public int HeightPx { get; } = heightPx;

    public int StrideBytes { get; } = strideBytes;
}
