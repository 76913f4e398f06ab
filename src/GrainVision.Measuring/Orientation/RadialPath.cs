using GrainVision.Measuring.Angle;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Orientation;

/// <summary>
/// A curve that crosses every ring at right angles, followed along the ring normals from a start point both ways to the
/// section's border (or to the pith).
/// </summary>
/// <param name="PointsMm">Points at even spacing, mm; ordered from the pith side where the field is curved.</param>
/// <param name="TangentRad">Direction of the path at each point, rad, the way the points run (away from the pith).</param>
/// <param name="StepMm">Spacing of the points.</param>
internal sealed record RadialPath(Point2d[] PointsMm, double[] TangentRad, double StepMm)
{
    public double LengthMm => (PointsMm.Length - 1) * StepMm;

    public static RadialPath Follow(RingField field, SurfaceFrame plane, Point2d start, double stepMm, double insetMm)
    {
        // +1 walks along the normal's own direction: towards the pith where curvature is positive.
        var toPith = Walk(field, plane, start, stepMm, insetMm, +1);
        var away = Walk(field, plane, start, stepMm, insetMm, -1);
        toPith.Reverse();
        var points = toPith.Append(start).Concat(away).ToArray();
        var flip = field.CurvaturePerMm < 0;
        if (flip)
            Array.Reverse(points);
        var tangents = new double[points.Length];
        for (var i = 0; i < points.Length; i++)
            tangents[i] = field.NormalRad(points[i]) + (flip ? 0 : Math.PI);
        return new RadialPath(points, tangents, stepMm);
    }

    private static List<Point2d> Walk(RingField field, SurfaceFrame plane, Point2d start, double step, double inset, int sign)
    {
        var points = new List<Point2d>();
        var at = start;
        while (points.Count < 100_000)
        {
            if (Length(field.CircleNormal(at)) < RingField.PithNear / 4)
                break;
            var half = Step(field, at, sign * step / 2);
            at = StepAlong(at, field.NormalRad(half), sign * step);
            if (plane.InsideByMm(at) < inset)
                break;
            points.Add(at);
        }

        return points;
    }

    private static double Length(Point2d v) => Math.Sqrt((v.X * v.X) + (v.Y * v.Y));

    private static Point2d Step(RingField field, Point2d at, double length) => StepAlong(at, field.NormalRad(at), length);

    private static Point2d StepAlong(Point2d at, double angle, double length) =>
        new(at.X + (length * Math.Cos(angle)), at.Y + (length * Math.Sin(angle)));
}
