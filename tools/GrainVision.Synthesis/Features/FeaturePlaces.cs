namespace GrainVision.Synthesis;

/// <summary>Finds places on the part of the surface that the photo shows.</summary>
internal sealed class FeaturePlaces
{
    private readonly Scene _scene;
    private readonly SeededRandom _random;
    private readonly double _left;
    private readonly double _right;
    private readonly List<(double X, double Y, double Reach)> _taken = [];

    public FeaturePlaces(Scene scene, SeededRandom random)
    {
        _scene = scene;
        _random = random;
        (_left, _right) = SurfaceOutline.ShownMm(scene);
    }

    /// <summary>A free place: features keep a finger's breadth of clear wood between them where there is room.</summary>
    public (double X, double Y) Free(double reach)
    {
        var hy = _scene.Size2Mm / 2;
        (double X, double Y) at = (0, 0);
        for (var i = 0; i < 40; i++)
        {
            // One in five may touch an edge.
            var margin = _random.Chance(0.2) ? 0 : reach + 2;
            at = (Between(_left + margin, _right - margin), Between(-hy + margin, hy - margin));
            if (_taken.TrueForAll(t => Math.Abs(t.X - at.X) + Math.Abs(t.Y - at.Y) > t.Reach + reach + 12))
                break;
        }

        _taken.Add((at.X, at.Y, reach));
        return at;
    }

    public (double X, double Y) Anywhere() => (_random.Uniform(_left, _right), _random.Uniform(-0.5, 0.5) * _scene.Size2Mm);

    /// <summary>Where in the straightened log a place of the surface lies: angle, reference radius, height.</summary>
    public (double Theta, double U, double Z) InLog(double x, double y)
    {
        var p = _scene.Surface.At(x, y);
        var (qx, qy) = _scene.Log.ClearFibreAt(p);
        return (Math.Atan2(qy, qx), Math.Sqrt((qx * qx) + (qy * qy)), p.Z);
    }

    /// <summary>Angle between the rings and the surface, degrees: 90 on a radial face.</summary>
    public double RingAngleDeg(double x, double y)
    {
        var n = _scene.Log.RingNormalAt(_scene.Surface.At(x, y));
        var into = _scene.Surface.Axis1.Cross(_scene.Surface.Axis2);
        return Math.Atan2(Math.Abs(n.Dot(_scene.Surface.Axis2)), Math.Abs(n.Dot(into))) * 180 / Math.PI;
    }

    private double Between(double low, double high) => high > low ? _random.Uniform(low, high) : (low + high) / 2;
}
