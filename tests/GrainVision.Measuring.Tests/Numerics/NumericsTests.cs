using GrainVision.Measuring.Numerics;
using MathNet.Numerics;
using MathNet.Numerics.Distributions;

namespace GrainVision.Measuring.Tests.Numerics;

/// <summary>The shared fits against MathNet.Numerics' own, and against values on paper.</summary>
public class NumericsTests
{
    [Fact]
    public void NormalEquations_OfALine_AgreeWithTheLibrarysLine()
    {
        double[] x = [0, 1, 2, 3, 4, 5], y = [1.1, 2.9, 5.2, 6.8, 9.1, 11.2];
        var equations = new NormalEquations(2);
        for (var i = 0; i < x.Length; i++)
            equations.Add([1, x[i]], y[i], 1);
        var (a, b) = Fit.Line(x, y);
        var (solution, inverse) = equations.SolveWithInverse()!.Value;
        Assert.Equal(a, solution[0], 12);
        Assert.Equal(b, solution[1], 12);
        // Inverse of [[n, sum x], [sum x, sum x²]] = [[6, 15], [15, 55]]: determinant 105.
        Assert.Equal(55.0 / 105, inverse[0, 0], 12);
        Assert.Equal(-15.0 / 105, inverse[0, 1], 12);
        Assert.Equal(equations.Solve()!, solution.Select(v => Math.Round(v, 12)), (p, q) => Math.Abs(p - q) < 1e-11);
    }

    [Fact]
    public void NormalEquations_OfPointsThatFixNothing_AreNull()
    {
        var equations = new NormalEquations(2);
        equations.Add([1, 3], 2, 1);
        equations.Add([2, 6], 4, 1);
        Assert.Null(equations.Solve());
        Assert.Null(equations.SolveWithInverse());
    }

    [Fact]
    public void Prior_HoldsWhatNoEquationSays()
    {
        var equations = new NormalEquations(2);
        equations.Add([1, 0], 5, 1);
        equations.AddPrior(1, -2, 1e-3);
        Assert.Equal([5, -2], equations.Solve()!, (p, q) => Math.Abs(p - q) < 1e-12);
    }

    /// <summary>A normal sample's median absolute deviation times 1.4826 is its standard deviation: quantiles by MathNet.Numerics.</summary>
    [Fact]
    public void Deviation_OfANormalSample_IsItsStandardDeviation()
    {
        var sample = Enumerable.Range(1, 9999).Select(i => Normal.InvCDF(0, 2.5, i / 10_000.0));
        Assert.Equal(2.5, RobustStatistics.Deviation(sample), 3);
    }

    [Fact]
    public void Deviation_WithAFifthOfOutliers_HardlyMoves() =>
        Assert.InRange(RobustStatistics.Deviation([-1, 1, -1, 1, 1000]), 1.4, 1.5);

    [Theory]
    [InlineData(0.5, 1)]
    [InlineData(1, 1)]
    [InlineData(4, 0.25)]
    public void HuberWeight_FallsBeyondTheKnee(double distance, double weight) => Assert.Equal(weight, RobustStatistics.HuberWeight(distance, 1));
}
