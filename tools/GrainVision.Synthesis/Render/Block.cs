namespace GrainVision.Synthesis;

/// <summary>
/// A square of pixels that is shaded at once. Slow geometry is worked out at its corners and interpolated between them.
/// </summary>
internal sealed class Block
{
    /// <summary>16 px: at 4 px/mm and more the interpolation error of the fibre map stays below 0.005 mm.</summary>
    public const int Size = 16;

    public int X0 { get; private set; }

    public int Y0 { get; private set; }

    public int Width { get; private set; }

    public int Height { get; private set; }

    /// <summary>Corners without lens distortion, px: top left, top right, bottom left, bottom right pixel centres one step past the block.</summary>
    public double[] CornerX { get; } = new double[4];

    public double[] CornerY { get; } = new double[4];

    /// <summary>Linear light, B, G, R, for Size x Size pixels.</summary>
    public float[] Bgr { get; } = new float[Size * Size * 3];

    public void MoveTo(Camera camera, int x0, int y0)
    {
        X0 = x0;
        Y0 = y0;
        Width = Math.Min(Size, camera.WidthPx - x0);
        Height = Math.Min(Size, camera.HeightPx - y0);
        for (var i = 0; i < 4; i++)
        {
            var p = camera.Undistort(new(x0 + ((i & 1) * Size), y0 + ((i >> 1) * Size)));
            CornerX[i] = p.X;
            CornerY[i] = p.Y;
        }
    }
}

/// <summary>A value known at a block's four corners, walked pixel by pixel.</summary>
internal readonly struct Bilinear(double topLeft, double topRight, double bottomLeft, double bottomRight)
{
    public float StartOf(int row)
    {
        var t = row / (double)Block.Size;
        return (float)(topLeft + (t * (bottomLeft - topLeft)));
    }

    public float StepOf(int row)
    {
        var t = row / (double)Block.Size;
        var left = topLeft + (t * (bottomLeft - topLeft));
        var right = topRight + (t * (bottomRight - topRight));
        return (float)((right - left) / Block.Size);
    }

    /// <summary>Change per pixel to the right and down, in the block's middle.</summary>
    public (float Right, float Down) Gradient() => (
        (float)((topRight - topLeft + bottomRight - bottomLeft) / (2 * Block.Size)),
        (float)((bottomLeft - topLeft + bottomRight - topRight) / (2 * Block.Size)));

    public static Bilinear Of(ReadOnlySpan<double> corners) => new(corners[0], corners[1], corners[2], corners[3]);
}
