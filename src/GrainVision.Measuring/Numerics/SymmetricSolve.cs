namespace GrainVision.Measuring.Numerics;

/// <summary>Solves and inverts the small positive definite systems of least squares (up to 8 unknowns) by Cholesky's method.</summary>
internal static class SymmetricSolve
{
    /// <summary>
    /// Inverse of a symmetric positive definite matrix, or null where it is singular to working precision
    /// (the points lie on a line, say). Only the lower triangle is read.
    /// </summary>
    public static double[,]? Invert(double[,] a)
    {
        var n = a.GetLength(0);
        if (Factor(a) is not { } l)
            return null;
        var inverse = new double[n, n];
        var column = new double[n];
        for (var j = 0; j < n; j++)
        {
            Array.Clear(column);
            column[j] = 1;
            Substitute(l, column);
            for (var i = 0; i < n; i++)
                inverse[i, j] = column[i];
        }

        return inverse;
    }

    /// <summary>Solution of a x = b, or null where the matrix is singular to working precision.</summary>
    public static double[]? Solve(double[,] a, ReadOnlySpan<double> b)
    {
        if (Factor(a) is not { } l)
            return null;
        var x = b.ToArray();
        Substitute(l, x);
        return x;
    }

    private static double[,]? Factor(double[,] a)
    {
        // 1e-13 of the largest pivot: below it the digits of a double are used up.
        const double least = 1e-13;
        var n = a.GetLength(0);
        var l = new double[n, n];
        var greatest = 0.0;
        for (var i = 0; i < n; i++)
            greatest = Math.Max(greatest, a[i, i]);
        for (var j = 0; j < n; j++)
        {
            for (var i = j; i < n; i++)
            {
                var sum = a[i, j];
                for (var k = 0; k < j; k++)
                    sum -= l[i, k] * l[j, k];
                if (i != j)
                {
                    l[i, j] = sum / l[j, j];
                    continue;
                }

                if (!(sum > least * greatest))
                    return null;
                l[j, j] = Math.Sqrt(sum);
            }
        }

        return l;
    }

    private static void Substitute(double[,] l, double[] x)
    {
        var n = x.Length;
        for (var i = 0; i < n; i++)
        {
            for (var k = 0; k < i; k++)
                x[i] -= l[i, k] * x[k];
            x[i] /= l[i, i];
        }

        for (var i = n - 1; i >= 0; i--)
        {
            for (var k = i + 1; k < n; k++)
                x[i] -= l[k, i] * x[k];
            x[i] /= l[i, i];
        }
    }
}
