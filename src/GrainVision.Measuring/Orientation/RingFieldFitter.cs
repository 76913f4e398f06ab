using System.Numerics;
using GrainVision.Measuring.Numerics;
using OpenCvSharp;

namespace GrainVision.Measuring.Orientation;

/// <summary>A fitted ring field and how well it explains the cells.</summary>
/// <param name="Field">The model.</param>
/// <param name="Explained">Weighted share of cells whose normal lies within the tolerance of the model, 0 to 1.</param>
/// <param name="SpreadRad">Robust spread of the residuals, rad.</param>
/// <param name="MiddleNormalRad">Direction of the normal at the middle: the field's, or where the wood there shows it the rings' own.</param>
/// <param name="MiddleUncertaintyRad">Standard uncertainty of the normal's direction at the middle, rad.</param>
/// <param name="CurvatureUncertaintyPerMm">Standard uncertainty of the curvature, 1/mm.</param>
internal sealed record RingFieldFit(RingField Field, double Explained, double SpreadRad, double MiddleNormalRad, double MiddleUncertaintyRad, double CurvatureUncertaintyPerMm)
{
    /// <summary>3: a curvature under three standard uncertainties could as well be straight, or bent the other way.</summary>
    private const double CurvedFromSigmas = 3;

    /// <summary>The field with the rings' waves about it: what a radial path follows.</summary>
    public required RingField WithWaves { get; init; }

    /// <summary>True where the side on which the pith lies is sure.</summary>
    public bool IsCurved => Math.Abs(Field.CurvaturePerMm) >= CurvedFromSigmas * CurvatureUncertaintyPerMm;
}

/// <summary>A fitted field with the cells that it was fitted to, before its uncertainty is known.</summary>
internal sealed record FittedCells(OrientationCell[] Cells, RingField Field, double Explained, double SpreadRad);

/// <summary>
/// Fits a <see cref="RingField"/> to orientation cells: a search over direction and curvature, then robust
/// Gauss-Newton steps (Welsch weights), then the quadratic correction; uncertainty by the block jackknife, since neighbouring cells
/// share their errors (H. R. Künsch, Ann. Statist. 17(3), 1989, doi 10.1214/aos/1176347265).
/// </summary>
internal static class RingFieldFitter
{
    /// <summary>0.10 rad (6°): residual at which a cell starts to lose its say; ring figure scatters 2° to 4° on real ends.</summary>
    private const double ToleranceRad = 0.10;

    /// <summary>12: fewer cells than this are no field.</summary>
    private const int FewestCells = 12;

    public static FittedCells? Fit(IReadOnlyList<OrientationCell> all, Point2d middle)
    {
        var cells = all.Where(c => c.Weight > 0.01).ToArray();
        if (cells.Length < FewestCells)
            return null;
        var reach = Math.Max(1, cells.Max(c => c.AtMm.DistanceTo(middle)));
        var start = Search(cells, middle, reach);
        var field = Refine(cells, start, 12);
        return new FittedCells(cells, field, Explained(cells, field), Spread(cells, field));
    }

    /// <summary>The fit with its uncertainty: a dozen fits more, so only for the field that is kept.</summary>
    /// <param name="fitted">The field that is kept.</param>
    /// <param name="tangent">What the wood at the middle shows, or null.</param>
    public static RingFieldFit WithUncertainty(FittedCells fitted, CentreOrientation? tangent)
    {
        var blocks = Jackknife(fitted.Cells, fitted.Field);
        var middle = fitted.Field.NormalRad(fitted.Field.MiddleMm);
        var (normal, u) = CentreDirection.Compute(middle, fitted.SpreadRad, blocks.MiddleRad, tangent);
        return new RingFieldFit(fitted.Field, fitted.Explained, fitted.SpreadRad, normal, u, blocks.CurvaturePerMm)
        {
            WithWaves = fitted.Field with { Waves = OrientationResiduals.Compute(fitted.Cells, fitted.Field) },
        };
    }

    /// <summary>Residual of a cell against a direction, rad, -pi/2 to pi/2: lines have no arrow.</summary>
    internal static double Residual(OrientationCell cell, RingField field) => Math.IEEERemainder(cell.NormalRad - field.NormalRad(cell.AtMm), Math.PI);

    /// <summary>
    /// The best of 36 directions and 21 curvatures. Compared by the double angle, which needs no arc tangent: cos 2r of a cell against the field is
    /// near 1 - 2r², so that exp((cos 2r - 1) / 4t²) is Welsch's weight for small r.
    /// </summary>
    private static RingField Search(OrientationCell[] cells, Point2d middle, double reach)
    {
        // Two hundred cells tell the best of 756 fields as well as two thousand: they scatter by a few degrees, the fields differ by five.
        const int most = 200;
        var step = Math.Max(1, cells.Length / most);
        var some = cells.Where((_, i) => i % step == 0).ToArray();
        // One array a quantity, filled up with cells of no weight: whole vectors of cells are compared at once.
        var full = (some.Length + Vector<double>.Count - 1) / Vector<double>.Count * Vector<double>.Count;
        var (dx, dy, cos2, sin2, weight) = (new double[full], new double[full], new double[full], new double[full], new double[full]);
        for (var i = 0; i < some.Length; i++)
        {
            (dx[i], dy[i], weight[i]) = (some[i].AtMm.X - middle.X, some[i].AtMm.Y - middle.Y, some[i].Weight);
            (cos2[i], sin2[i]) = (Math.Cos(2 * some[i].NormalRad), Math.Sin(2 * some[i].NormalRad));
        }

        const double sharpness = 1 / (4 * (2 * ToleranceRad) * (2 * ToleranceRad));
        var (best, bestScore) = (new RingField(middle, reach, 0, 0, []), double.MinValue);
        for (var p = 0; p < 36; p++)
        {
            var (sin, cos) = Math.SinCos(p * Math.PI / 36);
            for (var k = -10; k <= 10; k++)
            {
                // Curvatures from straight to a pith well inside the section, dense near straight.
                var curvature = Math.Sign(k) * Math.Pow(Math.Abs(k) / 10.0, 2) * 4 / reach;
                var scores = Vector<double>.Zero;
                for (var i = 0; i < full; i += Vector<double>.Count)
                {
                    var nx = new Vector<double>(cos) - (curvature * new Vector<double>(dx, i));
                    var ny = new Vector<double>(sin) - (curvature * new Vector<double>(dy, i));
                    var length2 = (nx * nx) + (ny * ny) + new Vector<double>(1e-12);
                    var cosine = ((((nx * nx) - (ny * ny)) * new Vector<double>(cos2, i)) + (2 * nx * ny * new Vector<double>(sin2, i))) / length2;
                    scores += new Vector<double>(weight, i) * Vector.Exp((cosine - Vector<double>.One) * sharpness);
                }

                var score = Vector.Sum(scores);
                if (score > bestScore)
                    (best, bestScore) = (best with { PhiRad = p * Math.PI / 36, CurvaturePerMm = curvature }, score);
            }
        }

        return best;
    }

    private static RingField Refine(OrientationCell[] cells, RingField start, int rounds)
    {
        var field = start with { Correction = [] };
        for (var round = 0; round < rounds; round++)
        {
            var tolerance = round < 4 ? 2 * ToleranceRad : ToleranceRad;
            double aa = 0, ab = 0, bb = 0, ar = 0, br = 0;
            var (cos, sin) = (Math.Cos(field.PhiRad), Math.Sin(field.PhiRad));
            foreach (var c in cells)
            {
                var (dx, dy) = (c.AtMm.X - field.MiddleMm.X, c.AtMm.Y - field.MiddleMm.Y);
                var n = new Point2d(cos - (field.CurvaturePerMm * dx), sin - (field.CurvaturePerMm * dy));
                var length2 = (n.X * n.X) + (n.Y * n.Y);
                if (length2 < RingField.PithNear * RingField.PithNear)
                    continue;
                var byPhi = ((n.X * cos) + (n.Y * sin)) / length2;
                var byCurvature = ((n.Y * dx) - (n.X * dy)) / length2 * (1 / field.ReachMm);
                // The circles alone: the correction is fitted when they stand.
                var r = Math.IEEERemainder(c.NormalRad - Math.Atan2(n.Y, n.X), Math.PI);
                var w = c.Weight * Welsch(r, tolerance);
                aa += w * byPhi * byPhi;
                ab += w * byPhi * byCurvature;
                bb += w * byCurvature * byCurvature;
                ar += w * byPhi * r;
                br += w * byCurvature * r;
            }

            bb += 1e-6 * (aa + 1e-9);
            var det = (aa * bb) - (ab * ab);
            if (Math.Abs(det) < 1e-12)
                break;
            var phi = ((ar * bb) - (br * ab)) / det;
            var curvature = ((br * aa) - (ar * ab)) / det / field.ReachMm;
            field = field with
            {
                PhiRad = field.PhiRad + Math.Clamp(phi, -0.3, 0.3),
                CurvaturePerMm = field.CurvaturePerMm + Math.Clamp(curvature, -1 / field.ReachMm, 1 / field.ReachMm),
            };
        }

        return WithCorrection(cells, field);
    }

    private static RingField WithCorrection(OrientationCell[] cells, RingField field)
    {
        const int terms = 6;
        var equations = new NormalEquations(terms);
        var total = 0.0;
        foreach (var c in cells)
        {
            var n = field.CircleNormal(c.AtMm);
            if ((n.X * n.X) + (n.Y * n.Y) < RingField.PithNear * RingField.PithNear)
                continue;
            var r = Residual(c, field);
            var w = c.Weight * Welsch(r, ToleranceRad);
            var t = field.CorrectionTerms(c.AtMm);
            total += w;
            equations.Add(t, r, w);
        }

        // Ridge: a correction must be earned by many cells, and never twists an empty corner.
        for (var i = 0; i < terms; i++)
            equations.AddPrior(i, 0, 0.02 * total);
        return equations.Solve() is { } x ? field with { Correction = x } : field;
    }

    private static (double MiddleRad, double CurvaturePerMm) Jackknife(OrientationCell[] cells, RingField field)
    {
        const int columns = 4, rows = 3;
        var (minX, maxX) = (cells.Min(c => c.AtMm.X), cells.Max(c => c.AtMm.X) + 1e-9);
        var (minY, maxY) = (cells.Min(c => c.AtMm.Y), cells.Max(c => c.AtMm.Y) + 1e-9);
        int Block(OrientationCell c) =>
            ((int)((c.AtMm.X - minX) / (maxX - minX) * columns) * rows) + (int)((c.AtMm.Y - minY) / (maxY - minY) * rows);
        var angles = new List<double>();
        var curvatures = new List<double>();
        foreach (var left in cells.Select(Block).Distinct().ToArray())
        {
            var rest = cells.Where(c => Block(c) != left).ToArray();
            if (rest.Length < FewestCells)
                continue;
            var f = Refine(rest, field, 3);
            angles.Add(Math.IEEERemainder(f.NormalRad(f.MiddleMm) - field.NormalRad(field.MiddleMm), Math.PI));
            curvatures.Add(f.CurvaturePerMm);
        }

        return (JackknifeDeviation(angles), JackknifeDeviation(curvatures));
    }

    private static double JackknifeDeviation(List<double> left)
    {
        if (left.Count < 3)
            return left.Count == 0 ? 0.05 : left.Max(Math.Abs);
        var mean = left.Average();
        return Math.Sqrt((left.Count - 1.0) / left.Count * left.Sum(x => (x - mean) * (x - mean)));
    }

    private static double Explained(OrientationCell[] cells, RingField field) =>
        cells.Where(c => Math.Abs(Residual(c, field)) < 2 * ToleranceRad).Sum(c => c.Weight) / cells.Sum(c => c.Weight);

    private static double Spread(OrientationCell[] cells, RingField field) => RobustStatistics.Deviation(cells.Select(c => Residual(c, field)));

    private static double Welsch(double residual, double tolerance) => Math.Exp(-(residual * residual) / (2 * tolerance * tolerance));
}
