using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>What the surface network says of every place: one map a class, at half the picture's pitch.</summary>
/// <param name="Width">Columns.</param>
/// <param name="Height">Rows.</param>
/// <param name="PitchPxPerMm">Pixels of a map a millimetre.</param>
/// <param name="OriginMm">(u, v) of the middle of pixel (0, 0).</param>
internal sealed record SurfaceMaps(int Width, int Height, double PitchPxPerMm, Point2d OriginMm)
{
    /// <summary>Probability 1 as it is kept: 16 bits are half the memory and finer than what the network knows.</summary>
    public const float One = ushort.MaxValue;

    private readonly ushort[]?[] _maps = new ushort[]?[Enum.GetValues<MarkClass>().Length];

    /// <summary>The map of a class, row by row, <see cref="One"/> for probability 1; null where the network does not know it.</summary>
    public ushort[]? this[MarkClass c]
    {
        get => _maps[(int)c];
        set => _maps[(int)c] = value;
    }

    public Point2d ToMm(double x, double y) => new(OriginMm.X + (x / PitchPxPerMm), OriginMm.Y + (y / PitchPxPerMm));

    public Point2d FromMm(Point2d mm) => new((mm.X - OriginMm.X) * PitchPxPerMm, (mm.Y - OriginMm.Y) * PitchPxPerMm);
}
