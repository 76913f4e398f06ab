using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Scale;
using OpenCvSharp;

namespace GrainVision.Measuring.Section;

/// <summary>
/// The piece's own metric frame: origin at corner 1 of the outline, +u along the long sides from corner 1 to 2, +v
/// from side 1-2 towards side 3-4, both in millimetres. Every angle and slope is measured in it, so perspective that the scale knows of
/// is gone and a mirrored order of corners is taken as the caller meant it.
/// </summary>
public sealed class SurfaceFrame
{
    /// <summary>3 degrees: sides 1-2 and 4-3 that differ by more are no planks' two edges; then side 1-2 alone is the axis.</summary>
    private const double SidesParallelWithinRad = 3 * Math.PI / 180;

    private readonly Homography _mmFromPx;
    private readonly Homography _pxFromMm;

    private SurfaceFrame(Homography mmFromPx, IReadOnlyList<PointPx> cornersPx, double sideSkewRad)
    {
        _mmFromPx = mmFromPx;
        _pxFromMm = mmFromPx.Inverse();
        CornersPx = cornersPx;
        CornersMm = [.. cornersPx.Select(ToMm)];
        SideSkewRad = sideSkewRad;
        PixelsPerMm = _pxFromMm.MagnificationAt(new PointPx(MiddleMm.X, MiddleMm.Y));
    }

    /// <summary>Corners 1 to 4, px of the upright photo.</summary>
    public IReadOnlyList<PointPx> CornersPx { get; }

    /// <summary>Corners 1 to 4, mm in this frame.</summary>
    public IReadOnlyList<Point2d> CornersMm { get; }

    /// <summary>Pixels of the photo per mm at the middle of the section (geometric mean over both directions).</summary>
    public double PixelsPerMm { get; }

    /// <summary>Angle between sides 1-2 and 4-3, rad: how far the two long edges disagree about the axis.</summary>
    public double SideSkewRad { get; }

    /// <summary>Angle by which the short sides, taken together, are out of square with the long ones, rad.</summary>
    public double OutOfSquareRad
    {
        get
        {
            var (du, dv) = (CornersMm[2].X + CornersMm[3].X - CornersMm[1].X - CornersMm[0].X, CornersMm[2].Y + CornersMm[3].Y - CornersMm[1].Y - CornersMm[0].Y);
            var (lu, lv) = (CornersMm[1].X + CornersMm[2].X - CornersMm[0].X - CornersMm[3].X, CornersMm[1].Y + CornersMm[2].Y - CornersMm[0].Y - CornersMm[3].Y);
            return Math.Asin(Math.Clamp(((du * lu) + (dv * lv)) / Math.Max(1e-9, Math.Sqrt((du * du) + (dv * dv)) * Math.Sqrt((lu * lu) + (lv * lv))), -1, 1));
        }
    }

    /// <summary>Mean length of sides 1-2 and 4-3, mm.</summary>
    public double FirstSideMm => (CornersMm[0].DistanceTo(CornersMm[1]) + CornersMm[3].DistanceTo(CornersMm[2])) / 2;

    /// <summary>Mean length of sides 2-3 and 1-4, mm.</summary>
    public double SecondSideMm => (CornersMm[1].DistanceTo(CornersMm[2]) + CornersMm[0].DistanceTo(CornersMm[3])) / 2;

    /// <summary>Middle of the section, mm.</summary>
    public Point2d MiddleMm => new(CornersMm.Average(c => c.X), CornersMm.Average(c => c.Y));

    /// <summary>Builds the frame from four corners and the photo's scale.</summary>
    public static SurfaceFrame Create(IReadOnlyList<PointPx> corners, PhotoScale scale)
    {
        ArgumentNullException.ThrowIfNull(corners);
        ArgumentNullException.ThrowIfNull(scale);
        var toMm = scale.MmFromPx is { } h ? new Homography([.. h]) : Homography.Scaling(1 / scale.Finding.PixelsPerMm.Value);
        var mm = corners.Select(c => toMm.Map(c)).ToArray();

        var first = Math.Atan2(mm[1].Y - mm[0].Y, mm[1].X - mm[0].X);
        var third = Math.Atan2(mm[2].Y - mm[3].Y, mm[2].X - mm[3].X);
        var skew = Math.IEEERemainder(third - first, 2 * Math.PI);
        var axis = Math.Abs(skew) < SidesParallelWithinRad ? first + (skew / 2) : first;

        var (cos, sin) = (Math.Cos(axis), Math.Sin(axis));
        var acrossOf = (PointPx p) => (-sin * (p.X - mm[0].X)) + (cos * (p.Y - mm[0].Y));
        var mirror = acrossOf(mm[2]) + acrossOf(mm[3]) < 0 ? -1 : 1;
        var rigid = new Homography(
        [
            cos, sin, -(cos * mm[0].X) - (sin * mm[0].Y),
            -sin * mirror, cos * mirror, mirror * ((sin * mm[0].X) - (cos * mm[0].Y)),
            0, 0, 1,
        ]);
        return new SurfaceFrame(rigid.After(toMm), corners, skew);
    }

    /// <summary>Photo pixel to (u, v) in mm.</summary>
    public Point2d ToMm(PointPx p)
    {
        var mm = _mmFromPx.Map(p);
        return new Point2d(mm.X, mm.Y);
    }

    /// <summary>(u, v) in mm to photo pixel.</summary>
    public PointPx ToPx(Point2d mm) => _pxFromMm.Map(new PointPx(mm.X, mm.Y));

    /// <summary>Photo pixels from raster pixels, for a raster of <paramref name="pitch"/> px/mm whose pixel (0, 0) lies at <paramref name="originMm"/>.</summary>
    internal Homography PxFromRaster(Point2d originMm, double pitch) =>
        _pxFromMm.After(new Homography([1 / pitch, 0, originMm.X, 0, 1 / pitch, originMm.Y, 0, 0, 1]));

    /// <summary>Distance in mm from a point to the nearest side; negative outside the section.</summary>
    public double InsideByMm(Point2d p)
    {
        var inside = double.MaxValue;
        var turn = Math.Sign(SignedArea());
        for (var i = 0; i < 4; i++)
        {
            var (a, b) = (CornersMm[i], CornersMm[(i + 1) % 4]);
            var (dx, dy) = (b.X - a.X, b.Y - a.Y);
            var cross = ((dx * (p.Y - a.Y)) - (dy * (p.X - a.X))) / Math.Sqrt((dx * dx) + (dy * dy));
            inside = Math.Min(inside, cross * turn);
        }

        return inside;
    }

    private double SignedArea()
    {
        var area = 0.0;
        for (var i = 0; i < 4; i++)
        {
            var (a, b) = (CornersMm[i], CornersMm[(i + 1) % 4]);
            area += (a.X * b.Y) - (b.X * a.Y);
        }

        return area / 2;
    }
}
