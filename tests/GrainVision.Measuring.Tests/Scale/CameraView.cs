using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Scale;

namespace GrainVision.Measuring.Tests.Scale;

/// <summary>A pinhole camera over a plane in millimetres: the exact truth behind the drawn photos.</summary>
internal static class CameraView
{
    /// <summary>
    /// Plane mm to photo px. The plane point <paramref name="lookAtMm"/> shows at <paramref name="showAtPx"/> with
    /// <paramref name="pixelsPerMm"/> there; the plane is turned by <paramref name="turnDeg"/> and tilted about the picture's axes.
    /// </summary>
    public static Homography Map(
        PointPx lookAtMm, PointPx showAtPx, double pixelsPerMm, double turnDeg, double tiltXDeg, double tiltYDeg, double focalPx)
    {
        var distance = focalPx / pixelsPerMm;
        var (cz, sz) = (Math.Cos(Units.DegToRad(turnDeg)), Math.Sin(Units.DegToRad(turnDeg)));
        var (cx, sx) = (Math.Cos(Units.DegToRad(tiltXDeg)), Math.Sin(Units.DegToRad(tiltXDeg)));
        var (cy, sy) = (Math.Cos(Units.DegToRad(tiltYDeg)), Math.Sin(Units.DegToRad(tiltYDeg)));

        // Rx * Ry * Rz, only the first two columns: the plane has no depth of its own.
        double[] a = [cy * cz, -cy * sz];
        double[] b = [(sx * sy * cz) + (cx * sz), (-sx * sy * sz) + (cx * cz)];
        double[] c = [(-cx * sy * cz) + (sx * sz), (cx * sy * sz) + (sx * cz)];
        var toCamera = new Homography(
        [
            focalPx * a[0], focalPx * a[1], 0,
            focalPx * b[0], focalPx * b[1], 0,
            c[0], c[1], distance,
        ]);
        var moved = toCamera.After(new Homography([1, 0, -lookAtMm.X, 0, 1, -lookAtMm.Y, 0, 0, 1]));
        return new Homography([1, 0, showAtPx.X, 0, 1, showAtPx.Y, 0, 0, 1]).After(moved);
    }
}
