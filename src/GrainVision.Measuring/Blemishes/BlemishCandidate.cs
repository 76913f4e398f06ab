using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// A place that does not look like clear wood, with what can be said of it before it is given a name.
/// </summary>
/// <param name="RimPx">Its rim in pixels of the reduced surface.</param>
/// <param name="BoxPx">Box of the rim.</param>
/// <param name="RimMm">Its rim in the section's metric frame.</param>
/// <param name="Shape">Extents.</param>
/// <param name="InsideMm">Distance from its rim to the nearest side of the section.</param>
internal sealed record BlemishCandidate(IReadOnlyList<Point> RimPx, Rect BoxPx, IReadOnlyList<Point2d> RimMm, BlemishShape Shape, double InsideMm)
{
    /// <summary>Greatest value over what makes a place odd: 1 and more.</summary>
    public double Oddness { get; init; }

    /// <summary>True where it was found as a thin line darker than the wood on both sides.</summary>
    public bool IsLine { get; init; }

    /// <summary>What <see cref="RimMm"/> leaves out of the rim on both sides together, mm: it runs through the middles of pixels.</summary>
    public double PadMm { get; init; }

    /// <summary>Middle of its box in the section's metric frame.</summary>
    public Point2d MiddleMm => MiddleOf(RimMm);

    /// <summary>Middle of a rim's box.</summary>
    public static Point2d MiddleOf(IReadOnlyList<Point2d> rimMm) => new((rimMm.Min(p => p.X) + rimMm.Max(p => p.X)) / 2, (rimMm.Min(p => p.Y) + rimMm.Max(p => p.Y)) / 2);
}
