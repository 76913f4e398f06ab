namespace GrainVision.Synthesis;

/// <summary>Finds places on the part of the surface that the photo shows.</summary>
internal sealed class FeaturePlaces
{
    private readonly Scene scene;
    private readonly SeededRandom random;
    private readonly double left;
    private readonly double right;
    private readonly List<(double X, double Y, double Reach)> taken = [];

    public FeaturePlaces(Scene scene, SeededRandom random)
    {
        this.scene = scene;
        this.random = random;
        (left, right) = SurfaceOutline.ShownMm(scene);
    }

    /// <summary>A free place: features keep a finger's breadth of clear wood between them where there is room.</summary>
    public (double X, double Y) Free(double reach)
    {
        var hy = scene.Size2Mm / 2;
        (double X, double Y) at = (0, 0);
        for (var i = 0; i < 40; i++)
        {
            // One in five may touch an edge.
            var margin = random.Chance(0.2) ? 0 : reach + 2;
            at = (Between(left + margin, right - margin), Between(-hy + margin, hy - margin));
            if (taken.TrueForAll(t => Math.Abs(t.X - at.X) + Math.Abs(t.Y - at.Y) > t.Reach + reach + 12))
                break;
        }

        taken.Add((at.X, at.Y, reach));
        return at;
    }

    public (double X, double Y) Anywhere() => (random.Uniform(left, right), random.Uniform(-0.5, 0.5) * scene.Size2Mm);

    /// <summary>Where in the straightened log a place of the surface lies: angle, reference radius, height.</summary>
    public (double Theta, double U, double Z) InLog(double x, double y)
    {
        var p = scene.Surface.At(x, y);
        var (qx, qy) = scene.Log.ClearFibreAt(p);
        return (Math.Atan2(qy, qx), Math.Sqrt((qx * qx) + (qy * qy)), p.Z);
    }

    /// <summary>Angle between the rings and the surface, degrees: 90 on a radial face.</summary>
    public double RingAngleDeg(double x, double y)
    {
        var n = scene.Log.RingNormalAt(scene.Surface.At(x, y));
        var into = scene.Surface.Axis1.Cross(scene.Surface.Axis2);
        return Math.Atan2(Math.Abs(n.Dot(scene.Surface.Axis2)), Math.Abs(n.Dot(into))) * 180 / Math.PI;
    }

    private double Between(double low, double high) => high > low ? random.Uniform(low, high) : (low + high) / 2;
}
