using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis.Rules;

/// <summary>
/// A pinhole camera with radial distortion whose axis may lie anywhere, as in a cropped photo. The rule's plane: x along the rule from its
/// start, y across from the read edge, mm.
/// </summary>
/// <param name="Axis">Where the lens's axis falls, px of the picture.</param>
/// <param name="FocalPx">Focal length.</param>
/// <param name="K1">Distortion at <paramref name="RadiusPx"/> from the axis, a share.</param>
/// <param name="RadiusPx">Half the diagonal of the whole photo.</param>
/// <param name="Plane">Row-major map from mm to ideal px.</param>
internal sealed record RuleCamera(PointPx Axis, double FocalPx, double K1, double RadiusPx, double[] Plane)
{
    /// <summary>Looks at a point of the plane from where it shows with a given scale.</summary>
    public static RuleCamera At(PointPx axis, double focalPx, double k1, double radiusPx, PointPx lookAtMm, PointPx showAtPx, double pixelsPerMm, double turnRad, double tiltRad, double tiltAxisRad)
    {
        var (sin, cos) = Math.SinCos(tiltAxisRad);
        var axisOfTilt = new Vec3(cos, sin, 0);
        var spin = new Vec3(0, 0, 1);
        var rx = new Vec3(1, 0, 0).Turned(spin, turnRad).Turned(axisOfTilt, tiltRad);
        var ry = new Vec3(0, 1, 0).Turned(spin, turnRad).Turned(axisOfTilt, tiltRad);
        var depth = focalPx / pixelsPerMm;
        var tx = (showAtPx.X - axis.X) / pixelsPerMm;
        var ty = (showAtPx.Y - axis.Y) / pixelsPerMm;
        var t = new Vec3(tx, ty, depth) - (rx * lookAtMm.X) - (ry * lookAtMm.Y);
        double[] plane =
        [
            (focalPx * rx.X) + (axis.X * rx.Z), (focalPx * ry.X) + (axis.X * ry.Z), (focalPx * t.X) + (axis.X * t.Z),
            (focalPx * rx.Y) + (axis.Y * rx.Z), (focalPx * ry.Y) + (axis.Y * ry.Z), (focalPx * t.Y) + (axis.Y * t.Z),
            rx.Z, ry.Z, t.Z,
        ];
        return new RuleCamera(axis, focalPx, k1, radiusPx, plane);
    }

    public PointPx Ideal(double xMm, double yMm)
    {
        var w = (Plane[6] * xMm) + (Plane[7] * yMm) + Plane[8];
        return new PointPx(((Plane[0] * xMm) + (Plane[1] * yMm) + Plane[2]) / w, ((Plane[3] * xMm) + (Plane[4] * yMm) + Plane[5]) / w);
    }

    public PointPx Distort(PointPx ideal)
    {
        double dx = ideal.X - Axis.X, dy = ideal.Y - Axis.Y;
        var k = 1 + (K1 * Math.Min(2.25, ((dx * dx) + (dy * dy)) / (RadiusPx * RadiusPx)));
        return new PointPx(Axis.X + (dx * k), Axis.Y + (dy * k));
    }

    public PointPx Undistort(PointPx seen)
    {
        var guess = seen;
        for (var i = 0; i < 5; i++)
            guess += seen - Distort(guess);
        return guess;
    }

    /// <summary>As the picture shows a point of the plane.</summary>
    public PointPx ToPx(double xMm, double yMm) => Distort(Ideal(xMm, yMm));

    /// <summary>Pixels per mm at a point of the plane, lens included: root of the ratio of areas.</summary>
    public double PixelsPerMmAt(double xMm, double yMm)
    {
        const double h = 0.5;
        var (a, b) = (ToPx(xMm + h, yMm) - ToPx(xMm - h, yMm), ToPx(xMm, yMm + h) - ToPx(xMm, yMm - h));
        return Math.Sqrt(Math.Abs((a.X * b.Y) - (a.Y * b.X))) / (2 * h);
    }
}
