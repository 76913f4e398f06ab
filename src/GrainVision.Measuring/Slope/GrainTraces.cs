using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>Lines that follow the measured slope along a face, for the picture: where they leave the edge is runout.</summary>
internal static class GrainTraces
{
    /// <summary>7: lines across the face; more would hide the wood.</summary>
    private const int Lines = 7;

    public static IReadOnlyList<IReadOnlyList<PointPx>> Follow(Func<Point2d, double> slopeAt, SurfaceFrame plane)
    {
        var (left, right) = (plane.CornersMm.Min(c => c.X), plane.CornersMm.Max(c => c.X));
        var (top, bottom) = (plane.CornersMm.Min(c => c.Y), plane.CornersMm.Max(c => c.Y));
        var step = (right - left) / 60;
        var traces = new List<IReadOnlyList<PointPx>>();
        for (var k = 0; k < Lines; k++)
        {
            var start = new Point2d((left + right) / 2, top + ((bottom - top) * (k + 0.5) / Lines));
            var back = Walk(slopeAt, plane, start, -step);
            back.Reverse();
            var points = back.Append(start).Concat(Walk(slopeAt, plane, start, step)).Select(plane.ToPx).ToList();
            if (points.Count > 3)
                traces.Add(points);
        }

        return traces;
    }

    private static List<Point2d> Walk(Func<Point2d, double> slopeAt, SurfaceFrame plane, Point2d at, double step)
    {
        var points = new List<Point2d>();
        for (var i = 0; i < 100; i++)
        {
            at = new Point2d(at.X + step, at.Y + (step * slopeAt(at)));
            if (plane.InsideByMm(at) < 0)
                break;
            points.Add(at);
        }

        return points;
    }
}
