using OpenCvSharp;

namespace GrainVision.Measuring.Imaging;

/// <summary>A projective map of the plane: row-major 3x3 matrix acting on (x, y, 1).</summary>
internal sealed class Homography(double[] m)
{
    /// <summary>The nine coefficients, row-major.</summary>
    public double[] M { get; } = m.Length == 9 ? m : throw new ArgumentException("Nine coefficients.", nameof(m));

    public static Homography Scaling(double k) => new([k, 0, 0, 0, k, 0, 0, 0, 1]);

    public static Homography Translation(double dx, double dy) => new([1, 0, dx, 0, 1, dy, 0, 0, 1]);

    public Point2d Map(double x, double y)
    {
        var w = (M[6] * x) + (M[7] * y) + M[8];
        return new Point2d(((M[0] * x) + (M[1] * y) + M[2]) / w, ((M[3] * x) + (M[4] * y) + M[5]) / w);
    }

    /// <summary>This map applied after <paramref name="first"/>.</summary>
    public Homography After(Homography first)
    {
        var r = new double[9];
        for (var i = 0; i < 3; i++)
        {
            for (var j = 0; j < 3; j++)
                r[(3 * i) + j] = (M[3 * i] * first.M[j]) + (M[(3 * i) + 1] * first.M[3 + j]) + (M[(3 * i) + 2] * first.M[6 + j]);
        }

        return new Homography(r);
    }

    /// <summary>The inverse map, by the adjugate.</summary>
    public Homography Inverse()
    {
        var (a, b, c, d, e, f, g, h, i) = (M[0], M[1], M[2], M[3], M[4], M[5], M[6], M[7], M[8]);
        var det = (a * ((e * i) - (f * h))) - (b * ((d * i) - (f * g))) + (c * ((d * h) - (e * g)));
        if (Math.Abs(det) < 1e-300)
            throw new InvalidOperationException("The projective map is singular.");
        return new Homography(
        [
            ((e * i) - (f * h)) / det, ((c * h) - (b * i)) / det, ((b * f) - (c * e)) / det,
            ((f * g) - (d * i)) / det, ((a * i) - (c * g)) / det, ((c * d) - (a * f)) / det,
            ((d * h) - (e * g)) / det, ((b * g) - (a * h)) / det, ((a * e) - (b * d)) / det,
        ]);
    }

    /// <summary>Area after over area before at a point: the Jacobian's determinant (negative where mirrored).</summary>
    public double AreaRatioAt(double x, double y)
    {
        const double step = 0.5;
        var (px, mx) = (Map(x + step, y), Map(x - step, y));
        var (py, my) = (Map(x, y + step), Map(x, y - step));
        return ((px.X - mx.X) * (py.Y - my.Y)) - ((px.Y - mx.Y) * (py.X - my.X));
    }

    public Mat ToMat()
    {
        var mat = new Mat(3, 3, MatType.CV_64FC1);
        mat.SetArray(M);
        return mat;
    }
}
