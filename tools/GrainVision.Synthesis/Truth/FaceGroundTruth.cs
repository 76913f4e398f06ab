using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>Truth of a long face: slope of the fibres and of the ring lines, from the same log that was painted.</summary>
internal static class FaceGroundTruth
{
    /// <summary>3: within three radii of a knot the grain flows round it and says nothing of the piece.</summary>
    private const double DisturbedRadii = 3;

    private const int Columns = 48;
    private const int Rows = 13;

    public static GrainTruth Grain(Scene scene)
    {
        var (left, right) = SurfaceOutline.ShownMm(scene);
        var window = Math.Clamp((right - left) / 4, 20, 75);
        var cells = Cells(scene, left, right);
        var clear = cells.Where(c => !c.Disturbed).ToList();
        if (clear.Count == 0)
            clear = cells;
        var slope = clear.Average(c => c.Fibre);
        var windows = Windows(cells, left, right, window);
        var known = windows.Where(w => w is not null).Select(w => w!.Value).DefaultIfEmpty(slope).ToList();
        var adjacent = clear.Average(c => c.Adjacent);
        var steepRings = clear.Count(c => c.RingAngleDeg >= CutClass.EdgeGrainFromDeg) > clear.Count / 2;
        var radial = clear.Count(c => c.RingAngleDeg >= CutClass.QuarterFromDeg) > clear.Count * 0.9;
        var lines = clear.Where(c => c.RingAngleDeg > 15).Select(c => c.RingLine).DefaultIfEmpty(0).Order().ToList();
        return new GrainTruth(
            slope,
            OneIn.From(Measured.Exact(slope)).Value,
            known.MaxBy(Math.Abs),
            window,
            windows,
            lines[lines.Count / 2],
            CellAt(scene, 0, 0).RingAngleDeg,
            steepRings,
            radial,
            adjacent,
            Math.Sqrt((slope * slope) + (adjacent * adjacent)),
            SpiralDeg(scene),
            Traces(scene, left, right))
        {
            OuterEighths = Outer(cells, scene.Size2Mm),
            WorstWindowCentre = WorstCentre(scene, windows, left, window),
        };
    }

    /// <summary>Steepest fibre slope at both edges of the face over a stretch along it.</summary>
    internal static double EdgeSlope(Scene scene, double fromX, double toX)
    {
        // A little inside the arris, where the fibres still have a direction.
        const double inside = 0.99;
        const int steps = 24;
        return Enumerable.Range(0, steps + 1)
            .SelectMany(i => new[] { -1, 1 }.Select(side => CellAt(scene, fromX + (i / (double)steps * (toX - fromX)), side * inside * scene.Size2Mm / 2).Fibre))
            .MaxBy(Math.Abs);
    }

    private static double? Outer(List<Cell> cells, double widthMm)
    {
        var lanes = new[] { -1, 1 }.Select(side => cells.Where(c => !c.Disturbed && c.Y * side > 0.375 * widthMm).ToList()).Where(l => l.Count > 0).ToList();
        return lanes.Count == 0 ? null : lanes.Select(l => l.Average(c => c.Fibre)).MaxBy(Math.Abs);
    }

    private static PointPx? WorstCentre(Scene scene, List<double?> windows, double left, double window)
    {
        var known = Enumerable.Range(0, windows.Count).Where(i => windows[i] is not null).ToList();
        return known.Count == 0 ? null : scene.Camera.Project(new Vec3(left + (window / 2) + (known.MaxBy(i => Math.Abs(windows[i]!.Value)) * window / 2), 0, 0));
    }

    private sealed record Cell(double X, double Y, double Fibre, double Adjacent, double RingLine, double RingAngleDeg, bool Disturbed);

    private static List<Cell> Cells(Scene scene, double left, double right)
    {
        var cells = new List<Cell>();
        for (var i = 0; i < Columns; i++)
        {
            for (var j = 0; j < Rows; j++)
                cells.Add(CellAt(scene, left + ((i + 0.5) / Columns * (right - left)), (((j + 0.5) / Rows) - 0.5) * scene.Size2Mm));
        }

        return cells;
    }

    private static Cell CellAt(Scene scene, double x, double y)
    {
        var p = scene.Surface.At(x, y);
        var into = scene.Surface.Axis1.Cross(scene.Surface.Axis2);
        var f = scene.Log.FibreDirectionAt(p);
        var along = f.Dot(scene.Surface.Axis1);
        var n = scene.Log.RingNormalAt(p);
        var line = n.Cross(into);
        var (qx, qy) = scene.Log.ClearFibreAt(p);
        var disturbed = scene.Log.Knots.Any(k => k.Nearness(qx, qy, p.Z) < DisturbedRadii);
        return new Cell(
            x,
            y,
            f.Dot(scene.Surface.Axis2) / along,
            f.Dot(into) / along,
            line.Dot(scene.Surface.Axis2) / line.Dot(scene.Surface.Axis1),
            Units.RadToDeg(Math.Atan2(Math.Abs(n.Dot(scene.Surface.Axis2)), Math.Abs(n.Dot(into)))),
            disturbed);
    }

    private static List<double?> Windows(List<Cell> cells, double left, double right, double window)
    {
        var means = new List<double?>();
        for (var from = left; from + window <= right + 1e-6; from += window / 2)
        {
            var inside = cells.Where(c => c.X >= from && c.X < from + window).ToList();
            var clear = inside.Where(c => !c.Disturbed).ToList();
            // Half of it must be undisturbed to speak for the piece.
            means.Add(clear.Count * 2 >= inside.Count && clear.Count > 0 ? clear.Average(c => c.Fibre) : null);
        }

        return means;
    }

    private static double SpiralDeg(Scene scene)
    {
        var shape = scene.Log.Shape;
        return Units.RadToDeg(shape.SpiralRad + (shape.SpiralPerMm * (scene.Log.RadiusAt(scene.Surface.Origin) - shape.SpiralAtMm)));
    }

    /// <summary>Five fibre lines along the face, followed both ways from its middle; they leave the face where the grain runs out.</summary>
    private static List<IReadOnlyList<PointPx>> Traces(Scene scene, double left, double right)
    {
        var traces = new List<IReadOnlyList<PointPx>>();
        for (var j = 0; j < 5; j++)
        {
            var y = (((j + 0.5) / 5) - 0.5) * scene.Size2Mm;
            var back = Follow(scene, (left + right) / 2, y, -1, left, right);
            back.Reverse();
            back.AddRange(Follow(scene, (left + right) / 2, y, 1, left, right).Skip(1));
            traces.Add(back);
        }

        return traces;
    }

    private static List<PointPx> Follow(Scene scene, double x, double y, int way, double left, double right)
    {
        const double step = 3;
        var line = new List<PointPx> { scene.Camera.Project(new Vec3(x, y, 0)) };
        while (line.Count < 2000)
        {
            var slope = CellAt(scene, x, y).Fibre;
            x += way * step;
            y += way * step * slope;
            if (x < left || x > right || Math.Abs(y) > scene.Size2Mm / 2)
                break;
            line.Add(scene.Camera.Project(new Vec3(x, y, 0)));
        }

        return line;
    }
}
