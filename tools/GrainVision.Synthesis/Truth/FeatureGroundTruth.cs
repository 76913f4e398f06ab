using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>Outlines and sizes of features, measured on the surface by sampling what is painted.</summary>
internal static class FeatureGroundTruth
{
    /// <summary>200: a box of twice the feature's reach is sampled 200 x 200, then once more close about what was found.</summary>
    private const int Samples = 200;

    /// <summary>3: longer than three times its width a knot is a spike (common practice, no source).</summary>
    private const double SpikeAspect = 3;

    public static List<BlemishTruth> Blemishes(Scene scene) =>
        [.. scene.Features.Where(f => f.Kind is not null).Select(f => Blemish(scene, f)).OfType<BlemishTruth>()];

    public static List<NonBlemishTruth> Harmless(Scene scene)
    {
        var found = new List<NonBlemishTruth>();
        foreach (var f in scene.Features.Where(f => f.Harmless is not null))
        {
            var hull = Outline(scene, f);
            if (hull.Count >= 3)
                found.Add(new NonBlemishTruth(f.Harmless!, Px(scene, hull)));
        }

        if (scene.Log.Indents.Count > 0)
            found.Add(new NonBlemishTruth("indented-rings", Region(scene, IsIndented)));
        if (scene.Look.SapwoodFromMm < 1e8)
            found.Add(new NonBlemishTruth("bright-sapwood", Region(scene, p => scene.Log.RadiusAt(p) > scene.Look.SapwoodFromMm)));

        // Dirt and saw marks lie all over the surface.
        var finish = scene.View == View.End ? scene.EndFinish : scene.FaceFinish;
        var surface = SurfaceOutline.Of(scene).Corners;
        if (finish.Dirt > 0.03)
            found.Add(new NonBlemishTruth("dirt", surface));
        if (finish.SawMarks > 0.03)
            found.Add(new NonBlemishTruth("saw-marks", surface));
        return found;

        bool IsIndented(Vec3 p)
        {
            var (qx, qy) = scene.Log.ClearFibreAt(p);
            var radius = scene.Log.RadiusAt(p);
            return scene.Log.Indents.Any(i => i.At(qx, qy, radius) > 0.2 * i.DepthMm);
        }
    }

    /// <summary>Convex hull of the places of the shown surface that are of a kind, px; empty where none is.</summary>
    private static List<PointPx> Region(Scene scene, Func<Vec3, bool> isOfKind)
    {
        const int across = 60, along = 160;
        var (left, right) = SurfaceOutline.ShownMm(scene);
        var inside = new List<(double X, double Y)>();
        for (var i = 0; i <= along; i++)
        {
            for (var j = 0; j <= across; j++)
            {
                var (x, y) = (left + (i / (double)along * (right - left)), ((j / (double)across) - 0.5) * scene.Size2Mm);
                if (isOfKind(scene.Surface.At(x, y)))
                    inside.Add((x, y));
            }
        }

        return Px(scene, ConvexHull(inside));
    }

    private static BlemishTruth? Blemish(Scene scene, Feature feature)
    {
        var hull = Outline(scene, feature);
        if (hull.Count < 3)
            return null;
        double left = hull.Min(p => p.X), right = hull.Max(p => p.X), top = hull.Min(p => p.Y), bottom = hull.Max(p => p.Y);
        double length = right - left, width = bottom - top;
        var diameter = LeastWidth(hull);
        var (shownLeft, shownRight) = SurfaceOutline.ShownMm(scene);
        double hx = scene.Size1Mm / 2, hy = scene.Size2Mm / 2;
        var edge = Math.Min(top + hy, hy - bottom);
        // The ends of a face are edges only where they are the piece's own.
        if (shownLeft <= -hx + 1e-6)
            edge = Math.Min(edge, left + hx);
        if (shownRight >= hx - 1e-6)
            edge = Math.Min(edge, hx - right);
        var kind = feature.Kind!.Value;
        if (kind is BlemishKind.Knot && Math.Max(length, width) > SpikeAspect * diameter)
            kind = BlemishKind.SpikeKnot;
        double cx = (left + right) / 2, cy = (top + bottom) / 2;
        return new BlemishTruth(
            kind,
            scene.Camera.Project(new Vec3(cx, cy, 0)),
            width,
            diameter,
            length,
            width,
            Math.Max(0, edge),
            cx - shownLeft,
            cy + hy,
            feature.Contrast,
            Px(scene, hull))
        {
            EdgeSlope = scene.View == View.Face ? FaceGroundTruth.EdgeSlope(scene, left, right) : null,
        };
    }

    private static List<PointPx> Px(Scene scene, List<(double X, double Y)> mm) => mm.ConvertAll(p => scene.Camera.Project(new Vec3(p.X, p.Y, 0)));

    /// <summary>Convex hull on the surface, mm; empty where none of it shows in the photo.</summary>
    private static List<(double X, double Y)> Outline(Scene scene, Feature f)
    {
        var (shownLeft, shownRight) = SurfaceOutline.ShownMm(scene);
        var hy = scene.Size2Mm / 2;
        var box = (Left: Math.Max(shownLeft, f.CentreX - f.ReachX), Right: Math.Min(shownRight, f.CentreX + f.ReachX), Top: Math.Max(-hy, f.CentreY - f.ReachY), Bottom: Math.Min(hy, f.CentreY + f.ReachY));
        if (box.Right <= box.Left || box.Bottom <= box.Top)
            return [];
        // Coarse first: half a cell is added to the level so that nothing slips between samples.
        var cell = Math.Max((box.Right - box.Left) / Samples, (box.Bottom - box.Top) / Samples);
        var near = Inside(scene, f, box, (float)(0.75 * cell));
        if (near.Count == 0)
            return [];
        box = (Math.Max(box.Left, near.Min(p => p.X) - cell), Math.Min(box.Right, near.Max(p => p.X) + cell), Math.Max(box.Top, near.Min(p => p.Y) - cell), Math.Min(box.Bottom, near.Max(p => p.Y) + cell));
        return ConvexHull(Inside(scene, f, box, 0));
    }

    private static List<(double X, double Y)> Inside(Scene scene, Feature f, (double Left, double Right, double Top, double Bottom) box, float slack)
    {
        var map = new SurfaceGrid(scene, box.Left, box.Right, box.Top, box.Bottom);
        var inside = new List<(double X, double Y)>();
        for (var i = 0; i <= Samples; i++)
        {
            for (var j = 0; j <= Samples; j++)
            {
                var x = box.Left + (i / (double)Samples * (box.Right - box.Left));
                var y = box.Top + (j / (double)Samples * (box.Bottom - box.Top));
                if (f.Level(map.At(x, y)) > -slack)
                    inside.Add((x, y));
            }
        }

        return inside;
    }

    /// <summary>Andrew's monotone chain (1979).</summary>
    internal static List<(double X, double Y)> ConvexHull(List<(double X, double Y)> points)
    {
        if (points.Count < 3)
            return [];
        points.Sort();
        var hull = new List<(double X, double Y)>();
        for (var pass = 0; pass < 2; pass++)
        {
            var start = hull.Count;
            foreach (var p in points)
            {
                while (hull.Count >= start + 2 && Cross(hull[^2], hull[^1], p) <= 0)
                    hull.RemoveAt(hull.Count - 1);
                hull.Add(p);
            }

            hull.RemoveAt(hull.Count - 1);
            points.Reverse();
        }

        return hull;

        static double Cross((double X, double Y) o, (double X, double Y) a, (double X, double Y) b) => ((a.X - o.X) * (b.Y - o.Y)) - ((a.Y - o.Y) * (b.X - o.X));
    }

    /// <summary>Least distance between two parallel lines that enclose a convex outline: one of them lies along a side.</summary>
    internal static double LeastWidth(List<(double X, double Y)> hull)
    {
        var least = double.MaxValue;
        for (var i = 0; i < hull.Count; i++)
        {
            var (ax, ay) = hull[i];
            var (bx, by) = hull[(i + 1) % hull.Count];
            double dx = bx - ax, dy = by - ay, length = Math.Sqrt((dx * dx) + (dy * dy));
            if (length < 1e-9)
                continue;
            least = Math.Min(least, hull.Max(p => Math.Abs(((p.X - ax) * dy) - ((p.Y - ay) * dx)) / length));
        }

        return least;
    }
}
