using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>A 3x3 projective map between two planes, row-major; works on homogeneous points.</summary>
public sealed class PlaneMap
{
    private readonly double[] _m;

    public PlaneMap(IReadOnlyList<double> rowMajor)
    {
        _m = [.. rowMajor];
        if (_m.Length != 9)
            throw new ArgumentException("A plane map has nine numbers.", nameof(rowMajor));
    }

    public IReadOnlyList<double> RowMajor => _m;

    public (double X, double Y) Apply(double x, double y)
    {
        var w = (_m[6] * x) + (_m[7] * y) + _m[8];
        return (((_m[0] * x) + (_m[1] * y) + _m[2]) / w, ((_m[3] * x) + (_m[4] * y) + _m[5]) / w);
    }

    public PointPx Apply(PointPx p)
    {
        var (x, y) = Apply(p.X, p.Y);
        return new PointPx(x, y);
    }

    public PlaneMap Inverse()
    {
        double a = _m[0], b = _m[1], c = _m[2], d = _m[3], e = _m[4], f = _m[5], g = _m[6], h = _m[7], i = _m[8];
        double[] adj =
        [
            (e * i) - (f * h), (c * h) - (b * i), (b * f) - (c * e),
            (f * g) - (d * i), (a * i) - (c * g), (c * d) - (a * f),
            (d * h) - (e * g), (b * g) - (a * h), (a * e) - (b * d),
        ];
        var det = (a * adj[0]) + (b * adj[3]) + (c * adj[6]);
        for (var k = 0; k < 9; k++)
            adj[k] /= det;
        return new PlaneMap(adj);
    }
}
