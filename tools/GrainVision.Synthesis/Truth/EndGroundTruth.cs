using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>Truth of a crosscut end, from the same log that was painted.</summary>
internal static class EndGroundTruth
{
    /// <summary>0.1 mm: boundary crossings are interpolated between steps, far finer than 0.15 mm.</summary>
    private const double StepMm = 0.1;

    public static RingTruth Rings(Scene scene)
    {
        var (path, radii) = Path(scene);
        var rings = scene.Rings;
        List<double> at = [];
        List<PointPx> boundaries = [];
        List<int> ringAfter = [];
        for (var i = 1; i < path.Count; i++)
        {
            // The path climbs outward, so that boundaries come in order.
            for (var k = rings.IndexAt(radii[i - 1]) + 1; k < rings.Radii.Count && rings.Radii[k] <= radii[i]; k++)
            {
                if (rings.Radii[k] <= radii[i - 1])
                    continue;
                var t = (rings.Radii[k] - radii[i - 1]) / (radii[i] - radii[i - 1]);
                at.Add((i - 1 + t) * StepMm);
                var (x, y) = (path[i - 1].X + (t * (path[i].X - path[i - 1].X)), path[i - 1].Y + (t * (path[i].Y - path[i - 1].Y)));
                boundaries.Add(scene.Camera.Project(new Vec3(x, y, 0)));
                ringAfter.Add(k);
            }
        }

        var widths = new List<double>();
        var shares = new List<double>();
        var falseRings = 0;
        for (var i = 1; i < at.Count; i++)
        {
            widths.Add(at[i] - at[i - 1]);
            shares.Add(rings.Latewood[ringAfter[i - 1]]);
            if (rings.FalseRing[ringAfter[i - 1]] > 0)
                falseRings++;
        }

        var mean = widths.Count > 0 ? widths.Average() : 0;
        var line = Enumerable.Range(0, path.Count).Where(i => i % 5 == 0 || i == path.Count - 1)
            .Select(i => scene.Camera.Project(new Vec3(path[i].X, path[i].Y, 0))).ToList();
        return new RingTruth(
            widths.Count,
            mean > 0 ? 25.4 / mean : 0,
            WorstInch(at),
            mean,
            shares.Count > 0 ? shares.Average() : 0,
            line,
            boundaries,
            widths,
            shares,
            falseRings)
        {
            WorstInchPath = at.Count < 2 ? [] : [.. Stretch(WorstFrom(at), Math.Min(at[^1], WorstFrom(at) + Units.MmPerInch))],
        };

        IEnumerable<PointPx> Stretch(double fromMm, double toMm) => Enumerable.Range(0, path.Count)
            .Where(i => i * StepMm >= fromMm - StepMm && i * StepMm <= toMm + StepMm && i % 5 == 0)
            .Select(i => scene.Camera.Project(new Vec3(path[i].X, path[i].Y, 0)));
    }

    /// <summary>Least number of rings in any inch between the first and last boundary, parts of rings counted.</summary>
    internal static double WorstInch(IReadOnlyList<double> boundaryMm)
    {
        if (boundaryMm.Count < 2)
            return 0;
        double first = boundaryMm[0], last = boundaryMm[^1];
        if (last - first <= Units.MmPerInch)
            return (boundaryMm.Count - 1) * Units.MmPerInch / (last - first);
        var from = WorstFrom(boundaryMm);
        return RingsIn(boundaryMm, from);
    }

    /// <summary>Where the worst inch starts, mm along the path.</summary>
    private static double WorstFrom(IReadOnlyList<double> boundaryMm)
    {
        double first = boundaryMm[0], last = boundaryMm[^1];
        if (last - first <= Units.MmPerInch)
            return first;

        // The number in a window is piecewise linear in its place: its least lies where one end is on a boundary.
        return boundaryMm.Where(b => b + Units.MmPerInch <= last).Concat(boundaryMm.Where(b => b - Units.MmPerInch >= first).Select(b => b - Units.MmPerInch))
            .MinBy(b => RingsIn(boundaryMm, b));
    }

    /// <summary>Rings in the inch from a place on, parts counted.</summary>
    private static double RingsIn(IReadOnlyList<double> boundaryMm, double fromMm)
    {
        return Number(fromMm + Units.MmPerInch) - Number(fromMm);

        double Number(double mm)
        {
            var i = 0;
            while (i < boundaryMm.Count - 2 && boundaryMm[i + 1] < mm)
                i++;
            return i + ((mm - boundaryMm[i]) / (boundaryMm[i + 1] - boundaryMm[i]));
        }
    }

    public static RingAngleTruth Angle(Scene scene)
    {
        var disc = Math.Min(6, scene.Size2Mm / 4);
        double least = 90, greatest = 0, sin = 0, cos = 0;
        for (var i = 0; i <= 60; i++)
        {
            for (var j = 0; j <= 30; j++)
            {
                var angle = AngleDeg(scene, ((i / 60.0) - 0.5) * scene.Size1Mm, ((j / 30.0) - 0.5) * scene.Size2Mm);
                least = Math.Min(least, angle);
                greatest = Math.Max(greatest, angle);
            }
        }

        for (var i = -6; i <= 6; i++)
        {
            for (var j = -6; j <= 6; j++)
            {
                if ((i * i) + (j * j) > 36)
                    continue;
                // The double angle makes +1 and -1 degree about 0 or 90 average to 0 or 90.
                var (nx, ny) = Normal(scene, i * disc / 6, j * disc / 6);
                var twice = 2 * Math.Atan2(ny, nx);
                sin += Math.Sin(twice);
                cos += Math.Cos(twice);
            }
        }

        var (px, py) = Pith(scene);
        var distance = Math.Sqrt((px * px) + (py * py));
        var boxed = Math.Abs(px) < scene.Size1Mm / 2 && Math.Abs(py) < scene.Size2Mm / 2;
        var mean = Fold(Units.RadToDeg(Math.Atan2(sin, cos) / 2));
        return new RingAngleTruth(
            mean, AngleDeg(scene, 0, 0), disc, boxed ? 0 : least, boxed ? 90 : greatest, CutClass.From(mean), scene.Camera.Project(new Vec3(px, py, 0)), distance, boxed);
    }

    /// <summary>Angle between ring tangent and side 1-2, 0 to 90 degrees.</summary>
    internal static double AngleDeg(Scene scene, double x, double y)
    {
        var (nx, ny) = Normal(scene, x, y);
        return Fold(Units.RadToDeg(Math.Atan2(ny, nx)));
    }

    /// <summary>The normal's direction, any turn of it, to the tangent's angle with the x axis: normal along x is 90.</summary>
    private static double Fold(double normalDeg)
    {
        var folded = Math.Abs(normalDeg) % 180;
        return Math.Abs(90 - folded);
    }

    private static (double X, double Y) Normal(Scene scene, double x, double y)
    {
        const double h = 1e-3;
        double U(double a, double b) => scene.Log.RadiusAt(scene.Surface.At(a, b));
        return ((U(x + h, y) - U(x - h, y)) / (2 * h), (U(x, y + h) - U(x, y - h)) / (2 * h));
    }

    /// <summary>Where the pith pierces the section's plane, surface mm: two steps of Newton on a nearly straight line.</summary>
    internal static (double X, double Y) Pith(Scene scene)
    {
        var normal = scene.Surface.Axis1.Cross(scene.Surface.Axis2);
        var zAt = scene.Surface.Origin.Z;
        for (var i = 0; i < 20; i++)
        {
            var off = normal.Dot(scene.Log.PithAt(zAt) - scene.Surface.Origin);
            zAt -= off / normal.Z;
        }

        var p = scene.Log.PithAt(zAt) - scene.Surface.Origin;
        return (p.Dot(scene.Surface.Axis1), p.Dot(scene.Surface.Axis2));
    }

    /// <summary>
    /// The normal-following curve through the middle, from the pith side outward, and the reference radius along it. The curve is that
    /// of the clear log; the radius is the one painted, so that a boundary lies where an indented zone or a knot has moved it.
    /// Beside a knot a ring can fold back: the greatest radius so far counts, and each boundary is told once.
    /// </summary>
    private static (List<(double X, double Y)> Path, List<double> Radii) Path(Scene scene)
    {
        var inward = Walk(scene, -1);
        inward.Reverse();
        inward.RemoveAt(inward.Count - 1);
        inward.AddRange(Walk(scene, 1));
        var highest = 0.0;
        return (inward, inward.ConvertAll(p =>
        {
            var (qx, qy) = scene.Log.FibreAt(scene.Surface.At(p.X, p.Y));
            return highest = Math.Max(highest, Math.Sqrt((qx * qx) + (qy * qy)));
        }));
    }

    private static List<(double X, double Y)> Walk(Scene scene, int outward)
    {
        List<(double X, double Y)> path = [(0, 0)];
        var (px, py) = Pith(scene);
        while (path.Count < 20_000)
        {
            var (x, y) = path[^1];
            // Midpoint rule: the curve bends slowly.
            var (nx, ny) = Normal(scene, x, y);
            var h = outward * StepMm / (2 * Math.Sqrt((nx * nx) + (ny * ny)));
            (nx, ny) = Normal(scene, x + (h * nx), y + (h * ny));
            var k = outward * StepMm / Math.Sqrt((nx * nx) + (ny * ny));
            x += k * nx;
            y += k * ny;
            if (Math.Abs(x) > scene.Size1Mm / 2 || Math.Abs(y) > scene.Size2Mm / 2)
                break;
            if (outward < 0 && ((x - px) * (x - px)) + ((y - py) * (y - py)) < 1.5 * 1.5)
                break;
            path.Add((x, y));
        }

        return path;
    }
}
