using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Measuring.Geometry;

/// <summary>A plane seen in perspective: maps points of one plane to another by a 3x3 matrix.</summary>
/// <remarks>R. Hartley and A. Zisserman, Multiple View Geometry in Computer Vision, 2nd ed. 2004, chapters 2 and 4.</remarks>
internal sealed class Homography
{
    private readonly double[] _m;

    /// <param name="rowMajor">Nine numbers, row by row; scaled so that the last is 1 where it is not zero.</param>
    public Homography(ReadOnlySpan<double> rowMajor)
    {
        _m = rowMajor.ToArray();
        if (_m[8] == 0)
            return;
        for (var i = 0; i < 9; i++)
            _m[i] /= rowMajor[8];
    }

    public IReadOnlyList<double> RowMajor => _m;

    public double Determinant =>
        (_m[0] * ((_m[4] * _m[8]) - (_m[5] * _m[7]))) - (_m[1] * ((_m[3] * _m[8]) - (_m[5] * _m[6]))) + (_m[2] * ((_m[3] * _m[7]) - (_m[4] * _m[6])));

    /// <summary>The third homogeneous coordinate: its sign changes at the horizon.</summary>
    public double Depth(PointPx p) => (_m[6] * p.X) + (_m[7] * p.Y) + _m[8];

    /// <summary>The same magnification along both axes.</summary>
    public static Homography Scaling(double k) => new([k, 0, 0, 0, k, 0, 0, 0, 1]);

    /// <summary>As a 3x3 matrix of doubles for OpenCV; the caller disposes it.</summary>
    public Mat ToMat()
    {
        var mat = new Mat(3, 3, MatType.CV_64FC1);
        mat.SetArray(_m);
        return mat;
    }

    public PointPx Map(PointPx p)
    {
        var w = Depth(p);
        return new PointPx(((_m[0] * p.X) + (_m[1] * p.Y) + _m[2]) / w, ((_m[3] * p.X) + (_m[4] * p.Y) + _m[5]) / w);
    }

    /// <summary>Lengths in the target per length in the source at a point: root of the area ratio, the same in no direction but right on average.</summary>
    public double MagnificationAt(PointPx p) => Math.Sqrt(Math.Abs(Determinant) / Math.Pow(Math.Abs(Depth(p)), 3));

    /// <summary>Ratio of the greatest to the least magnification at a point, 1 or more: 1/cos of the tilt for a distant camera.</summary>
    public double StretchAt(PointPx p)
    {
        var w = Depth(p);
        var q = Map(p);
        var a = (_m[0] - (_m[6] * q.X)) / w;
        var b = (_m[1] - (_m[7] * q.X)) / w;
        var c = (_m[3] - (_m[6] * q.Y)) / w;
        var d = (_m[4] - (_m[7] * q.Y)) / w;
        // Singular values of a 2x2 matrix from its rotation parts.
        var e = Math.Sqrt(((a + d) * (a + d)) + ((b - c) * (b - c)));
        var f = Math.Sqrt(((a - d) * (a - d)) + ((b + c) * (b + c)));
        var least = Math.Abs(e - f);
        return least <= 1e-12 * e ? double.PositiveInfinity : (e + f) / least;
    }

    public Homography Inverse() => new(
    [
        (_m[4] * _m[8]) - (_m[5] * _m[7]), (_m[2] * _m[7]) - (_m[1] * _m[8]), (_m[1] * _m[5]) - (_m[2] * _m[4]),
        (_m[5] * _m[6]) - (_m[3] * _m[8]), (_m[0] * _m[8]) - (_m[2] * _m[6]), (_m[2] * _m[3]) - (_m[0] * _m[5]),
        (_m[3] * _m[7]) - (_m[4] * _m[6]), (_m[1] * _m[6]) - (_m[0] * _m[7]), (_m[0] * _m[4]) - (_m[1] * _m[3]),
    ]);

    /// <summary>This map after another one.</summary>
    public Homography After(Homography first)
    {
        var a = first._m;
        var r = new double[9];
        for (var i = 0; i < 3; i++)
        {
            for (var j = 0; j < 3; j++)
                r[(3 * i) + j] = (_m[3 * i] * a[j]) + (_m[(3 * i) + 1] * a[3 + j]) + (_m[(3 * i) + 2] * a[6 + j]);
        }

        return new Homography(r);
    }

    /// <summary>Shifts to the middle of the points and scales their spread to about 1, so that the equations are well conditioned.</summary>
    public static Homography Normaliser(IReadOnlyList<PointPx> points)
    {
        double x = 0, y = 0, spread = 0;
        foreach (var p in points)
        {
            x += p.X / points.Count;
            y += p.Y / points.Count;
        }

        foreach (var p in points)
            spread += p.DistanceTo(new PointPx(x, y)) / points.Count;
        var k = spread > 0 ? Math.Sqrt(2) / spread : 1;
        return new Homography([k, 0, -k * x, 0, k, -k * y, 0, 0, 1]);
    }
}
