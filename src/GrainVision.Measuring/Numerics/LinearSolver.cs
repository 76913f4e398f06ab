namespace GrainVision.Measuring.Numerics;

/// <summary>Small dense linear systems by Gaussian elimination with partial pivoting.</summary>
internal static class LinearSolver
{
    /// <summary>Solves a·x = b; null where a is singular to working precision. The inputs are overwritten.</summary>
    public static double[]? Solve(double[,] a, double[] b)
    {
        var n = b.Length;
        for (var k = 0; k < n; k++)
        {
            var pivot = k;
            for (var i = k + 1; i < n; i++)
            {
                if (Math.Abs(a[i, k]) > Math.Abs(a[pivot, k]))
                    pivot = i;
            }

            if (Math.Abs(a[pivot, k]) < 1e-12)
                return null;
            for (var j = 0; j < n; j++)
                (a[k, j], a[pivot, j]) = (a[pivot, j], a[k, j]);
            (b[k], b[pivot]) = (b[pivot], b[k]);
            for (var i = k + 1; i < n; i++)
            {
                var factor = a[i, k] / a[k, k];
                for (var j = k; j < n; j++)
                    a[i, j] -= factor * a[k, j];
                b[i] -= factor * b[k];
            }
        }

        for (var i = n - 1; i >= 0; i--)
        {
            for (var j = i + 1; j < n; j++)
                b[i] -= a[i, j] * b[j];
            b[i] /= a[i, i];
        }

        return b;
    }
}
