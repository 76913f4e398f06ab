using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>Where the photographed surface lies in the photo.</summary>
internal static class SurfaceOutline
{
    /// <summary>Corners 1 to 4 in px, and whether the photo's border cut them.</summary>
    public static (IReadOnlyList<PointPx> Corners, bool Cut) Of(Scene scene)
    {
        var (left, right) = ShownMm(scene);
        var hy = scene.Size2Mm / 2;
        var cut = left > -scene.Size1Mm / 2 || right < scene.Size1Mm / 2;
        PointPx At(double x, double y) => scene.Camera.Project(new Vec3(x, y, 0));
        return ([At(left, -hy), At(right, -hy), At(right, hy), At(left, hy)], cut);
    }

    /// <summary>
    /// The stretch of the surface along side 1-2 over which its whole width lies in the photo, mm: a long face is cut square where
    /// its first corner would leave the picture.
    /// </summary>
    public static (double Left, double Right) ShownMm(Scene scene)
    {
        var half = scene.Size1Mm / 2;
        return (-Reach(scene, -1, half), Reach(scene, 1, half));
    }

    private static double Reach(Scene scene, int side, double half)
    {
        var hy = scene.Size2Mm / 2;
        if (Inside(scene, side * half, -hy) && Inside(scene, side * half, hy))
            return half;
        double low = 0, high = half;
        for (var i = 0; i < 50; i++)
        {
            var mid = (low + high) / 2;
            if (Inside(scene, side * mid, -hy) && Inside(scene, side * mid, hy))
                low = mid;
            else
                high = mid;
        }

        return low;
    }

    private static bool Inside(Scene scene, double x, double y)
    {
        var p = scene.Camera.Project(new Vec3(x, y, 0));
        return p.X >= 0 && p.Y >= 0 && p.X <= scene.Camera.WidthPx - 1 && p.Y <= scene.Camera.HeightPx - 1;
    }
}
