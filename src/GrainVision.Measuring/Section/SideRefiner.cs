using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Numerics;
using OpenCvSharp;

namespace GrainVision.Measuring.Section;

/// <summary>
/// Places each side of a rough outline in the full photo: the strongest colour change across the side at many places along it, then a
/// robust line through those places.
/// </summary>
internal static class SideRefiner
{
    /// <summary>48: places along a side; enough for a line to 0.1 px where each place is good to half a pixel.</summary>
    private const int Places = 48;

    /// <param name="photo">Full photo.</param>
    /// <param name="view">Decides which sides are sides 1-2 and 3-4.</param>
    /// <param name="quad">Clockwise corners in the reduced photo.</param>
    /// <param name="arris">Of the side that starts at each corner: a side of the piece shows beyond it.</param>
    /// <param name="shrink">Full over reduced.</param>
    public static PieceOutline Refine(UprightPhoto photo, View view, PointPx[] quad, bool[] arris, double shrink)
    {
        // Pixel centres: reduced x stands for full (x + 0.5)·shrink - 0.5.
        var rough = quad.Select(c => new PointPx(((c.X + 0.5) * shrink) - 0.5, ((c.Y + 0.5) * shrink) - 0.5)).ToArray();
        var sides = Enumerable.Range(0, 4).Select(i => RefineSide(photo, rough[i], rough[(i + 1) % 4], 2.5 * shrink)).ToArray();
        var corners = new PointPx[4];
        for (var i = 0; i < 4; i++)
            corners[i] = QuadFit.Intersect((sides[(i + 3) % 4].At, sides[(i + 3) % 4].Along), (sides[i].At, sides[i].Along)) ?? rough[i];

        var start = FirstSide(view, corners, sides);
        PointPx[] ordered = [.. Enumerable.Range(0, 4).Select(i => corners[(start + i) % 4])];
        Side[] inOrder = [.. Enumerable.Range(0, 4).Select(i => sides[(start + i) % 4])];
        var axis = Math.Sqrt(1 / (Weight(inOrder[0]) + Weight(inOrder[2])));
        return new PieceOutline(
            ordered, false, inOrder.Where(s => s.Seen).Select(s => s.AcrossPx).DefaultIfEmpty(1).Max(), axis, [.. inOrder.Select(s => s.Seen)])
        {
            Arris = [.. Enumerable.Range(0, 4).Select(i => arris[(start + i) % 4])],
        };
    }

    private static double Weight(Side side) => side.Seen ? 1 / (side.AxisRad * side.AxisRad) : 1e-3;

    /// <summary>
    /// The side that starts at corner 1. Among the two long sides the one that runs rightwards (or downwards): an upright reader's first.
    /// A face whose ends the photo cuts off is long between the cuts, however short it looks.
    /// </summary>
    private static int FirstSide(View view, PointPx[] corners, Side[] sides)
    {
        double Length(int i) => corners[i].DistanceTo(corners[(i + 1) % 4]);
        var evenAreLong = Length(0) + Length(2) >= Length(1) + Length(3);
        if (view == View.Face)
        {
            var (evenCut, oddCut) = (!sides[0].Seen && !sides[2].Seen, !sides[1].Seen && !sides[3].Seen);
            if (evenCut != oddCut)
                evenAreLong = oddCut;
        }

        var (a, b) = evenAreLong ? (0, 2) : (1, 3);
        var d = corners[(a + 1) % 4] - corners[a];
        return Math.Abs(d.X) >= Math.Abs(d.Y) ? (d.X > 0 ? a : b) : (d.Y > 0 ? a : b);
    }

    private static Side RefineSide(UprightPhoto photo, PointPx a, PointPx b, double reach)
    {
        var length = a.DistanceTo(b);
        var along = (b - a) * (1 / length);
        // Clockwise on the screen: the inside lies to the right of the walk, at (-y, x).
        var inward = new PointPx(-along.Y, along.X);
        if (LiesOnBorder(photo.Width, photo.Height, a, b, Math.Max(3, reach)))
            return new Side(a, along, false, 0.5, 0.05);

        var half = Math.Max(4, (int)Math.Ceiling(reach));
        var found = new List<(double T, double Off)>();
        for (var k = 0; k < Places; k++)
        {
            var t = length * (0.06 + (0.88 * k / (Places - 1)));
            if (StrongestStep(photo, a + (along * t), inward, half) is { } off)
                found.Add((t, off));
        }

        if (found.Count < Places / 3)
            return new Side(a, along, true, 1.5, 1.5 / length);
        return FitRobust(found, a, along, inward, length);
    }

    private static Side FitRobust(List<(double T, double Off)> found, PointPx a, PointPx along, PointPx inward, double length)
    {
        var (offset, slope, sigma) = (0.0, 0.0, 3.0);
        var weight = 0.0;
        for (var round = 0; round < 8; round++)
        {
            double s = 0, st = 0, stt = 0, so = 0, sto = 0;
            foreach (var (t, off) in found)
            {
                var r = round == 0 ? 0 : off - offset - (slope * t);
                var w = 1 / (1 + Math.Pow(r / (2 * sigma), 4));
                s += w;
                st += w * t;
                stt += w * t * t;
                so += w * off;
                sto += w * t * off;
            }

            var det = (s * stt) - (st * st);
            offset = ((so * stt) - (sto * st)) / det;
            slope = ((s * sto) - (st * so)) / det;
            sigma = Math.Max(0.15, RobustStatistics.Deviation(found.Select(f => f.Off - offset - (slope * f.T))));
            weight = s;
        }

        // Neighbouring places share a ragged arris: a third of them count as independent.
        var independent = Math.Max(3, weight / 3);
        var at = a + (inward * offset);
        var direction = along + (inward * slope);
        return new Side(at, direction, true, sigma / Math.Sqrt(independent), sigma / Math.Sqrt(independent) / (0.29 * length));
    }

    private static double? StrongestStep(UprightPhoto photo, PointPx at, PointPx inward, int half)
    {
        var samples = (2 * half) + 1;
        var bgr = new double[3][] { new double[samples], new double[samples], new double[samples] };
        for (var i = 0; i < samples; i++)
        {
            var p = at + (inward * (i - half));
            if (p.X < 0 || p.Y < 0 || p.X > photo.Width - 1 || p.Y > photo.Height - 1)
                return null;
            var c = photo.Bgr.At<Vec3b>((int)Math.Round(p.Y), (int)Math.Round(p.X));
            (bgr[0][i], bgr[1][i], bgr[2][i]) = (c.Item0, c.Item1, c.Item2);
        }

        var strength = new double[samples];
        foreach (var channel in bgr)
        {
            var d = Profile.Derivative(Profile.Smooth(channel, Math.Max(1, half / 8.0)));
            for (var i = 0; i < samples; i++)
                strength[i] += d[i] * d[i];
        }

        var best = 1;
        for (var i = 1; i < samples - 1; i++)
        {
            if (strength[i] > strength[best])
                best = i;
        }

        return strength[best] < 4 ? null : Profile.Vertex(strength, best) - half;
    }

    /// <summary>True where a side lies so near one border of a photo, px, that it is the border and no edge.</summary>
    internal static bool LiesOnBorder(int width, int height, PointPx a, PointPx b, double near) =>
        (a.X < near && b.X < near) || (a.Y < near && b.Y < near)
        || (a.X > width - 1 - near && b.X > width - 1 - near) || (a.Y > height - 1 - near && b.Y > height - 1 - near);

    /// <summary>A side as a line, with the standard uncertainty of its place and direction.</summary>
    private readonly record struct Side(PointPx At, PointPx Along, bool Seen, double AcrossPx, double AxisRad);
}
