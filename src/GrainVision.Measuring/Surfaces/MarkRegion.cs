using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>A connected place of the surface that the network takes for a mark of one class.</summary>
/// <param name="Class">The class.</param>
/// <param name="Pixels">Its pixels in the maps: those with at least half of its greatest probability.</param>
/// <param name="Peak">Its greatest probability.</param>
/// <param name="RimMm">Its rim in the section's metric frame.</param>
/// <param name="Shape">Extents.</param>
/// <param name="InsideMm">Distance from its rim to the nearest side of the section; 0 at the side.</param>
internal sealed record MarkRegion(MarkClass Class, IReadOnlyList<int> Pixels, double Peak, IReadOnlyList<Point2d> RimMm, BlemishShape Shape, double InsideMm)
{
    /// <summary>Places that it was joined from: pin knots of one cluster, pieces of one crack.</summary>
    public int Parts { get; init; } = 1;

    /// <summary>Box of its rim.</summary>
    public Rect2d BoxMm { get; } = Box(RimMm);

    /// <summary>Middle of that box.</summary>
    public Point2d MiddleMm => new(BoxMm.X + (BoxMm.Width / 2), BoxMm.Y + (BoxMm.Height / 2));

    private static Rect2d Box(IReadOnlyList<Point2d> rim)
    {
        var (left, top) = (rim.Min(p => p.X), rim.Min(p => p.Y));
        return new Rect2d(left, top, rim.Max(p => p.X) - left, rim.Max(p => p.Y) - top);
    }
}
