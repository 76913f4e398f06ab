using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>
/// A pinhole camera with radial distortion. World: x and y in the plane of the photographed surface (x along side 1-2, y along
/// side 2-3), z away from the camera into the piece, mm; origin in the middle of the surface.
/// </summary>
public sealed class Camera
{
    private readonly Vec3 _rx;
    private readonly Vec3 _ry;
    private readonly Vec3 _rz;
    private readonly Vec3 _shift;
    private readonly double _cx;
    private readonly double _cy;
    private readonly double _halfDiagonalPx;

    /// <param name="widthPx">Photo width, px.</param>
    /// <param name="heightPx">Photo height, px.</param>
    /// <param name="pixelsPerMm">Scale at the target.</param>
    /// <param name="target">World point in the plane that falls on the photo's centre.</param>
    /// <param name="rotationRad">Turn of the piece in the picture, clockwise as seen.</param>
    /// <param name="tiltRad">Tilt of the surface against the image plane.</param>
    /// <param name="tiltAxisRad">Direction in the picture of the axis about which it tilts.</param>
    /// <param name="focalRatio">Focal length over the photo's long side; 0.75 is about a phone's main camera.</param>
    /// <param name="k1">Radial distortion: displacement at the corner as a share of the half diagonal, positive outward.</param>
    public Camera(int widthPx, int heightPx, double pixelsPerMm, PointPx target, double rotationRad, double tiltRad, double tiltAxisRad, double focalRatio, double k1)
    {
        WidthPx = widthPx;
        HeightPx = heightPx;
        K1 = k1;
        TiltRad = tiltRad;
        RotationRad = rotationRad;
        FocalPx = focalRatio * Math.Max(widthPx, heightPx);
        _cx = (widthPx - 1) / 2.0;
        _cy = (heightPx - 1) / 2.0;
        _halfDiagonalPx = Math.Sqrt((_cx * _cx) + (_cy * _cy));
        var (sin, cos) = Math.SinCos(tiltAxisRad);
        var axis = new Vec3(cos, sin, 0);
        var spin = new Vec3(0, 0, 1);
        _rx = new Vec3(1, 0, 0).Turned(spin, rotationRad).Turned(axis, tiltRad);
        _ry = new Vec3(0, 1, 0).Turned(spin, rotationRad).Turned(axis, tiltRad);
        _rz = spin.Turned(axis, tiltRad);
        _shift = new Vec3(0, 0, FocalPx / pixelsPerMm) - (_rx * target.X) - (_ry * target.Y);
    }

    public int WidthPx { get; }

    public int HeightPx { get; }

    /// <summary>Focal length, px.</summary>
    public double FocalPx { get; }

    public double K1 { get; }

    public double TiltRad { get; }

    public double RotationRad { get; }

    /// <summary>Map from mm in a world plane to px before lens distortion.</summary>
    public PlaneMap PxFromPlane(Vec3 origin, Vec3 axis1, Vec3 axis2)
    {
        var a = Turn(axis1);
        var b = Turn(axis2);
        var c = Turn(origin) + _shift;
        // Divided by the last number, so that maps can be compared by eye.
        var last = c.Z;
        return new PlaneMap(new double[]
        {
            (FocalPx * a.X) + (_cx * a.Z), (FocalPx * b.X) + (_cx * b.Z), (FocalPx * c.X) + (_cx * c.Z),
            (FocalPx * a.Y) + (_cy * a.Z), (FocalPx * b.Y) + (_cy * b.Z), (FocalPx * c.Y) + (_cy * c.Z),
            a.Z, b.Z, c.Z,
        }.Select(v => v / last).ToArray());
    }

    /// <summary>The photographed surface's own plane.</summary>
    public PlaneMap PxFromSurface() => PxFromPlane(default, new Vec3(1, 0, 0), new Vec3(0, 1, 0));

    /// <summary>True where a plane's front (the side its normal axis1 x axis2 points away from) can be seen from the camera.</summary>
    internal bool Sees(Vec3 origin, Vec3 inwardNormal) => Turn(inwardNormal).Dot(Turn(origin) + _shift) > 0;

    /// <summary>Photo position of a world point, px, lens distortion included.</summary>
    public PointPx Project(Vec3 world)
    {
        var c = Turn(world) + _shift;
        return Distort(new PointPx((FocalPx * c.X / c.Z) + _cx, (FocalPx * c.Y / c.Z) + _cy));
    }

    public PointPx Distort(PointPx ideal)
    {
        var dx = (ideal.X - _cx) / _halfDiagonalPx;
        var dy = (ideal.Y - _cy) / _halfDiagonalPx;
        // Beyond one and a half half-diagonals nothing is seen; the polynomial would fold back there.
        var r2 = Math.Min((dx * dx) + (dy * dy), 2.25);
        var k = 1 + (K1 * r2);
        return new PointPx(_cx + (dx * k * _halfDiagonalPx), _cy + (dy * k * _halfDiagonalPx));
    }

    public PointPx Undistort(PointPx seen)
    {
        if (K1 == 0)
            return seen;
        var guess = seen;
        for (var i = 0; i < 6; i++)
            guess += seen - Distort(guess);
        return guess;
    }

    private Vec3 Turn(Vec3 v) => (_rx * v.X) + (_ry * v.Y) + (_rz * v.Z);
}
