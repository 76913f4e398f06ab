using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>A 3x3 projective map between two planes, row-major; works on homogeneous points.</summary>
public sealed class PlaneMap
{
    private readonly double[] m;

    public PlaneMap(IReadOnlyList<double> rowMajor)
    {
        m = [.. rowMajor];
        if (m.Length != 9)
            throw new ArgumentException("A plane map has nine numbers.", nameof(rowMajor));
    }

    public IReadOnlyList<double> RowMajor => m;

    public (double X, double Y) Apply(double x, double y)
    {
        var w = (m[6] * x) + (m[7] * y) + m[8];
        return (((m[0] * x) + (m[1] * y) + m[2]) / w, ((m[3] * x) + (m[4] * y) + m[5]) / w);
    }

    public PointPx Apply(PointPx p)
    {
        var (x, y) = Apply(p.X, p.Y);
        return new PointPx(x, y);
    }

    public PlaneMap Inverse()
    {
        double a = m[0], b = m[1], c = m[2], d = m[3], e = m[4], f = m[5], g = m[6], h = m[7], i = m[8];
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
