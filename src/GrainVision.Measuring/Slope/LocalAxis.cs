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
    /// <summary>1e-6: a scale that knows of no perspective shows a mm at the same size everywhere, to rounding.</summary>
    private const double Flat = 1e-6;

    private readonly Point2d _first;
    private readonly Point2d _third;
    private readonly double _firstSlope;
    private readonly double _thirdSlope;

    public LocalAxis(SurfaceFrame plane, PieceOutline outline)
    {
        var c = plane.CornersMm;
        (_first, _third) = (c[0], c[3]);
        (_firstSlope, _thirdSlope) = (Slope(c[0], c[1]), Slope(c[3], c[2]));
        // Where the photo's border cuts the piece off lengthwise, that border is no edge of it.
        if (!outline.SideSeen[0])
            _firstSlope = _thirdSlope;
        if (!outline.SideSeen[2])
            _thirdSlope = _firstSlope;
        var sizes = c.Select(corner => plane.ToPx(corner).DistanceTo(plane.ToPx(new Point2d(corner.X + 1, corner.Y)))).ToArray();
        KnowsPerspective = sizes.Max() > (1 + Flat) * sizes.Min();
    }

    /// <summary>True where the scale took the perspective out: then the long edges of a plank are parallel.</summary>
    public bool KnowsPerspective { get; }

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

    /// <summary>
    /// Share of the edges' convergence that the grain follows, 0 to 1: least squares of the slopes as they show on the axis. 0 where nothing tells.
    /// </summary>
    public double FollowedBy(SlopeGrid asShown)
    {
        if (asShown.Windows.Count < 3)
            return 0;
        var pairs = asShown.Windows.Select(w => (Axis: At(w.CentreMm), w.Slope)).ToList();
        var (axis, slope) = (pairs.Average(p => p.Axis), pairs.Average(p => p.Slope));
        var spread = pairs.Sum(p => (p.Axis - axis) * (p.Axis - axis));
        return spread <= 0 ? 0 : Math.Clamp(pairs.Sum(p => (p.Axis - axis) * (p.Slope - slope)) / spread, 0, 1);
    }

    /// <summary>The same windows with their slopes against the axis.</summary>
    public SlopeGrid Straighten(SlopeGrid grid) =>
        grid with { Windows = [.. grid.Windows.Select(w => w with { Slope = w.Slope - At(w.CentreMm) })] };

    private static double Slope(Point2d from, Point2d to) => Math.Abs(to.X - from.X) < 1e-6 ? 0 : (to.Y - from.Y) / (to.X - from.X);
}
