using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>
/// Direction of the piece's long axis as it shows at each place of a face, tangent against +u. A plank's long edges are parallel; where they
/// converge in the frame, the scale did not know of the perspective, and all lines along the piece converge to the same point.
/// </summary>
/// <remarks>
/// Exact for directions: at a fixed u the slope of a pencil of lines grows linearly with v. The stretch across the axis that such
/// perspective leaves (1.5 % at a tilt of 10 degrees) changes slopes by as little, relative. A truly tapered piece
/// is measured against the line midway between its edges.
/// </remarks>
internal sealed class LocalAxis
{
    private readonly Point2d _first;
    private readonly Point2d _third;
    private readonly double _firstSlope;
    private readonly double _thirdSlope;

    public LocalAxis(SectionPlane plane, PieceOutline outline)
    {
        var c = plane.CornersMm;
        (_first, _third) = (c[0], c[3]);
        (_firstSlope, _thirdSlope) = (Slope(c[0], c[1]), Slope(c[3], c[2]));
        // Where the photo's border cuts the piece off lengthwise, that border is no edge of it.
        if (!outline.SideSeen[0])
            _firstSlope = _thirdSlope;
        if (!outline.SideSeen[2])
            _thirdSlope = _firstSlope;
    }

    /// <summary>By how much the two long edges differ, tangent.</summary>
    public double Converging => Math.Abs(_thirdSlope - _firstSlope);

    /// <summary>Slope of the axis at a place.</summary>
    public double At(Point2d mm)
    {
        var top = _first.Y + (_firstSlope * (mm.X - _first.X));
        var bottom = _third.Y + (_thirdSlope * (mm.X - _third.X));
        var share = Math.Abs(bottom - top) < 1e-6 ? 0.5 : Math.Clamp((mm.Y - top) / (bottom - top), 0, 1);
        return _firstSlope + (share * (_thirdSlope - _firstSlope));
    }

    /// <summary>The same windows with their slopes against the axis.</summary>
    public SlopeGrid Straighten(SlopeGrid grid) =>
        grid with { Windows = [.. grid.Windows.Select(w => w with { Slope = w.Slope - At(w.CentreMm) })] };

    private static double Slope(Point2d from, Point2d to) => Math.Abs(to.X - from.X) < 1e-6 ? 0 : (to.Y - from.Y) / (to.X - from.X);
}
