using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Measuring.Section;

/// <summary>Fits a quadrilateral to a region: the tightest rectangle first, then a robust line through the rim along each side.</summary>
internal static class QuadFit
{
    /// <summary>1.8 px of the reduced photo: the rim on a side's line strays by about one.</summary>
    private const double OnLinePx = 1.8;

    /// <summary>4 px: shorter gaps at a corner are a rounded arris, not a strip.</summary>
    private const double LeastStripPx = 4;

    /// <summary>0.35: a strip that takes more of a side than this is no foreshortened side face.</summary>
    private const double WidestStrip = 0.35;

    /// <summary>
    /// Four corners clockwise on the screen, in the mask's pixels, and of each side that starts at one whether it was moved in because a side of the piece shows beyond it;
    /// null for a region that is none.
    /// </summary>
    public static (PointPx[] Corners, bool[] Arris)? Fit(Mat mask)
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

        return CutOffSideFaces(rim, quad);
    }

    /// <summary>
    /// A camera close to an end also sees a side of the piece: a strip beyond the end that narrows away from it. The end's own
    /// corners are where the rim leaves the two neighbouring sides' lines; the side between them is moved there.
    /// </summary>
    private static (PointPx[] Corners, bool[] Arris) CutOffSideFaces(Point[] rim, PointPx[] quad)
    {
        var result = (PointPx[])quad.Clone();
        var arris = new bool[4];
        for (var i = 0; i < 4; i++)
        {
            var (before, a, b, after) = (quad[(i + 3) % 4], quad[i], quad[(i + 1) % 4], quad[(i + 2) % 4]);
            var (atA, atB) = (LastOnLine(rim, before, a), LastOnLine(rim, after, b));
            var (shortA, shortB) = (atA.DistanceTo(a), atB.DistanceTo(b));
            if (shortA < LeastStripPx || shortB < LeastStripPx || Math.Max(shortA / before.DistanceTo(a), shortB / after.DistanceTo(b)) > WidestStrip)
                continue;
            (result[i], result[(i + 1) % 4]) = (atA, atB);
            arris[i] = true;
        }

        return (result, arris);
    }

    /// <summary>The last place, walking from one corner to the next, where the rim still lies on the line between them.</summary>
    private static PointPx LastOnLine(Point[] rim, PointPx from, PointPx to)
    {
        var length = Math.Max(1e-9, from.DistanceTo(to));
        var along = (to - from) * (1 / length);
        var covered = new bool[(int)length + 2];
        foreach (var p in rim)
        {
            var d = new PointPx(p.X, p.Y) - from;
            var t = (d.X * along.X) + (d.Y * along.Y);
            if (t >= 0 && t <= length && Math.Abs((d.X * along.Y) - (d.Y * along.X)) < OnLinePx)
                covered[(int)t] = true;
        }

        // From the middle outwards: a broken arris of a few pixels is stepped over.
        var last = covered.Length / 2;
        for (var i = last; i < covered.Length; i++)
        {
            if (covered[i])
                last = i;
            else if (i - last > 4)
                break;
        }

        return from + (along * Math.Min(length, last + 0.5));
    }

    /// <summary>Share of the quadrilateral that the region fills, and share of the region that it holds, each 0 to 1.</summary>
    public static (double Filled, double Held) Overlap(Mat mask, PointPx[] quad)
    {
        using var filled = new Mat(mask.Rows, mask.Cols, MatType.CV_8UC1, Scalar.All(0));
        Cv2.FillConvexPoly(filled, [.. quad.Select(p => new Point((int)Math.Round(p.X), (int)Math.Round(p.Y)))], Scalar.All(255));
        using var both = new Mat();
        Cv2.BitwiseAnd(mask, filled, both);
        var common = (double)Cv2.CountNonZero(both);
        return (common / Math.Max(1, Cv2.CountNonZero(filled)), common / Math.Max(1, Cv2.CountNonZero(mask)));
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
