using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Factorization;

namespace GrainVision.Measuring.Numerics;

/// <summary>
/// Normal equations of a weighted linear least-squares problem with few unknowns (up to 8 here), gathered row by row.
/// </summary>
/// <remarks>Factored by MathNet.Numerics' QR decomposition, which unlike Cholesky's tells a singular system without an exception.</remarks>
/// <param name="unknowns">Number of unknowns, 1 or more.</param>
internal sealed class NormalEquations(int unknowns)
{
    /// <summary>1e-13 of the largest diagonal element of R: below it the digits of a double are used up.</summary>
    private const double LeastPivot = 1e-13;

    private readonly double[,] _left = new double[unknowns, unknowns];
    private readonly double[] _right = new double[unknowns];

    /// <summary>Adds one equation: the unknowns times <paramref name="row"/> make <paramref name="value"/>.</summary>
    /// <param name="row">Coefficients, one an unknown.</param>
    /// <param name="value">Right-hand side.</param>
    /// <param name="weight">0 or more.</param>
    public void Add(ReadOnlySpan<double> row, double value, double weight)
    {
        for (var i = 0; i < row.Length; i++)
        {
            if (row[i] == 0)
                continue;
            _right[i] += weight * row[i] * value;
            for (var j = 0; j < row.Length; j++)
                _left[i, j] += weight * row[i] * row[j];
        }
    }

    /// <summary>Holds one unknown near a value, as one more equation would.</summary>
    public void AddPrior(int unknown, double value, double weight)
    {
        _left[unknown, unknown] += weight;
        _right[unknown] += weight * value;
    }

    /// <summary>The solution, or null where the system is singular to working precision (the points lie on a line, say).</summary>
    public double[]? Solve() => Factor() is { } qr ? qr.Solve(Vector<double>.Build.Dense(_right)).ToArray() : null;

    /// <summary>
    /// The solution with the inverse of the normal matrix, which is its covariance where the weights are inverse variances; null where singular.
    /// </summary>
    public (double[] Solution, double[,] Inverse)? SolveWithInverse()
    {
        if (Factor() is not { } qr)
            return null;
        var inverse = qr.Solve(Matrix<double>.Build.DenseIdentity(unknowns));
        return ((inverse * Vector<double>.Build.Dense(_right)).ToArray(), inverse.ToArray());
    }

    private QR<double>? Factor()
    {
        var qr = Matrix<double>.Build.DenseOfArray(_left).QR();
        var pivots = qr.R.Diagonal().PointwiseAbs();
        return pivots.Minimum() > LeastPivot * pivots.Maximum() ? qr : null;
    }
}
