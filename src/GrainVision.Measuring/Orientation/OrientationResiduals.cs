using OpenCvSharp;

namespace GrainVision.Measuring.Orientation;

/// <summary>
/// How the rings wave about a smooth field: the cells' departures from it, averaged over a few millimetres. A radial path that follows the smooth field alone
/// strays by millimetres over a hundred, and then ends in other rings than the true radius does.
/// </summary>
/// <remarks>Kernel regression with a ridge (E. A. Nadaraya, Theory Probab. Appl. 9(1), 1964, doi 10.1137/1109020): where no rings show it falls back to the field.</remarks>
internal sealed class OrientationResiduals
{
    /// <summary>3 mm: reach of the average (standard deviation); 2.5 and 4 mm did as well on drawn ends.</summary>
    private const double SigmaMm = 3;

    /// <summary>1.5 mm: spacing of the nodes, between which it is interpolated.</summary>
    private const double StepMm = 1.5;

    /// <summary>0.4: weight of a node's own belief in the field, against the cells' weights under the kernel.</summary>
    private const double Ridge = 0.4;

    /// <summary>0.10 rad (6°): departures beyond it are knots, checks and stamps, not waves.</summary>
    private const double ToleranceRad = 0.10;

    private readonly Point2d _origin;
    private readonly int _columns;
    private readonly int _rows;
    private readonly double[] _turnRad;

    private OrientationResiduals(Point2d origin, int columns, int rows, double[] turnRad) => (_origin, _columns, _rows, _turnRad) = (origin, columns, rows, turnRad);

    public static OrientationResiduals Compute(IReadOnlyList<OrientationCell> cells, RingField field)
    {
        var origin = new Point2d(cells.Min(c => c.AtMm.X), cells.Min(c => c.AtMm.Y));
        var columns = (int)Math.Ceiling((cells.Max(c => c.AtMm.X) - origin.X) / StepMm) + 1;
        var rows = (int)Math.Ceiling((cells.Max(c => c.AtMm.Y) - origin.Y) / StepMm) + 1;
        var sum = new double[columns * rows];
        var weight = new double[columns * rows];
        Array.Fill(weight, Ridge);
        var reach = 2.5 * SigmaMm / StepMm;
        foreach (var cell in cells)
        {
            var r = RingFieldFitter.Residual(cell, field);
            var w = cell.Weight * Math.Exp(-(r * r) / (2 * ToleranceRad * ToleranceRad));
            var (cx, cy) = ((cell.AtMm.X - origin.X) / StepMm, (cell.AtMm.Y - origin.Y) / StepMm);
            var (fromX, toX) = ((int)Math.Max(0, cx - reach), (int)Math.Min(columns - 1, cx + reach));
            var (fromY, toY) = ((int)Math.Max(0, cy - reach), (int)Math.Min(rows - 1, cy + reach));
            for (var y = fromY; y <= toY; y++)
            {
                var byY = w * Kernel(y - cy);
                for (var x = fromX; x <= toX; x++)
                {
                    var k = byY * Kernel(x - cx);
                    sum[(y * columns) + x] += k * r;
                    weight[(y * columns) + x] += k;
                }
            }
        }

        for (var i = 0; i < sum.Length; i++)
            sum[i] /= weight[i];
        return new OrientationResiduals(origin, columns, rows, sum);
    }

    /// <summary>Turn of the rings' normal against the field at a place, rad.</summary>
    public double TurnRad(Point2d mm)
    {
        var x = Math.Clamp((mm.X - _origin.X) / StepMm, 0, _columns - 1);
        var y = Math.Clamp((mm.Y - _origin.Y) / StepMm, 0, _rows - 1);
        var (i, j) = ((int)x, (int)y);
        var (right, below) = (Math.Min(i + 1, _columns - 1), Math.Min(j + 1, _rows - 1));
        var (u, v) = (x - i, y - j);
        double At(int c, int r) => _turnRad[(r * _columns) + c];
        return ((1 - v) * (((1 - u) * At(i, j)) + (u * At(right, j)))) + (v * (((1 - u) * At(i, below)) + (u * At(right, below))));
    }

    private static double Kernel(double steps) => Math.Exp(-0.5 * Math.Pow(steps * StepMm / SigmaMm, 2));
}
