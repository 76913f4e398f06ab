using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// A place that does not look like clear wood, with what can be said of it before it is given a name. This is the seam for a trained
/// classifier: it takes candidates and names them.
/// </summary>
/// <param name="RimMm">Its rim in the section's metric frame.</param>
/// <param name="Shape">Extents.</param>
/// <param name="Darkness">Mean darkness against its growth line, in robust deviations of the surface.</param>
/// <param name="Fill">Area over the area of its convex hull, 0 to 1: 1 is compact.</param>
/// <param name="ElongationRad">Direction of its longest extent, rad from +u.</param>
/// <param name="InsideMm">Distance from its rim to the nearest side of the section.</param>
internal sealed record BlemishCandidate(
    IReadOnlyList<Point2d> RimMm, BlemishShape Shape, double Darkness, double Fill, double ElongationRad, double InsideMm)
{
    public double Elongation => Shape.LongestMm / Math.Max(0.1, Shape.DiameterMm);
}
