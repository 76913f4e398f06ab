using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Measuring.Section;

/// <summary>Fits a quadrilateral to a region: the tightest rectangle first, then a robust line through the rim along each side.</summary>
internal static class QuadFit
{
    /// <summary>Four corners clockwise on the screen, in the mask's pixels; null for a region that is none.</summary>
    public static PointPx[]? Fit(Mat mask)
    {
        Cv2.FindContours(mask, out Point[][] contours, out _, RetrievalModes.External, ContourApproximationModes.ApproxNone);
        var rim = contours.OrderByDescending(c => Cv2.ContourArea(c)).FirstOrDefault();
        if (rim is null || rim.Length < 40)
            return null;
        var hull = Cv2.ConvexHull(rim);
        var box = Cv2.MinAreaRect(hull).Points().Select(p => new PointPx(p.X, p.Y)).ToArray();
        var quad = Clockwise(box);
        for (var round = 0; round < 3; round++)
        {
            var lines = new (PointPx At, PointPx Along)[4];
            for (var i = 0; i < 4; i++)
                lines[i] = SideLine(rim, quad[i], quad[(i + 1) % 4]);
            var next = new PointPx[4];
            for (var i = 0; i < 4; i++)
            {
                if (Intersect(lines[(i + 3) % 4], lines[i]) is not { } corner)
                    return null;
                next[i] = corner;
            }

            quad = next;
        }

        return quad;
    }

    /// <summary>Intersection over union of the mask and the quadrilateral, 0 to 1.</summary>
    public static double Overlap(Mat mask, PointPx[] quad)
    {
        using var filled = new Mat(mask.Rows, mask.Cols, MatType.CV_8UC1, Scalar.All(0));
        Cv2.FillConvexPoly(filled, [.. quad.Select(p => new Point((int)Math.Round(p.X), (int)Math.Round(p.Y)))], Scalar.All(255));
        using var both = new Mat();
        Cv2.BitwiseAnd(mask, filled, both);
        using var either = new Mat();
        Cv2.BitwiseOr(mask, filled, either);
        return Cv2.CountNonZero(both) / (double)Math.Max(1, Cv2.CountNonZero(either));
    }

    /// <summary>Intersection of two lines given by a point and a direction; null where they are parallel.</summary>
    public static PointPx? Intersect((PointPx At, PointPx Along) a, (PointPx At, PointPx Along) b)
    {
        var cross = (a.Along.X * b.Along.Y) - (a.Along.Y * b.Along.X);
        if (Math.Abs(cross) < 1e-6 * a.Along.Length * b.Along.Length)
            return null;
        var d = b.At - a.At;
        return a.At + (a.Along * (((d.X * b.Along.Y) - (d.Y * b.Along.X)) / cross));
    }

    /// <summary>The same corners, clockwise on the screen (y down).</summary>
    private static PointPx[] Clockwise(PointPx[] corners)
    {
        var (cx, cy) = (corners.Average(c => c.X), corners.Average(c => c.Y));
        return [.. corners.OrderBy(c => Math.Atan2(c.Y - cy, c.X - cx))];
    }

    private static (PointPx At, PointPx Along) SideLine(Point[] rim, PointPx a, PointPx b)
    {
        var along = (b - a) * (1 / Math.Max(1e-9, a.DistanceTo(b)));
        var length = a.DistanceTo(b);
        var near = rim
            .Select(p => new PointPx(p.X, p.Y))
            .Where(p =>
            {
                var d = p - a;
                var t = (d.X * along.X) + (d.Y * along.Y);
                var off = Math.Abs((d.X * along.Y) - (d.Y * along.X));
                // The middle 80 %: corners are broken or rounded. Within 6 % of the length (3 px at least): perspective slants sides.
                return t > 0.1 * length && t < 0.9 * length && off < Math.Max(3, 0.06 * length);
            })
            .Select(p => new Point2f((float)p.X, (float)p.Y))
            .ToArray();
        if (near.Length < 8)
            return (a, along);
        var line = Cv2.FitLine(near, DistanceTypes.Huber, 0, 0.01, 0.01);
        return (new PointPx(line.X1, line.Y1), new PointPx(line.Vx, line.Vy));
    }
}
