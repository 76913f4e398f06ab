using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>
/// Whether each side of an outline is the wood's edge: walked along, there is wood just within and none just beyond. It rests on the surface network's map of wood, which has
/// no part in finding the outline (that goes by colour), so that the two prove each other. Where a side of the piece shows beyond the edge of an end there is wood on both sides:
/// then the light must change across it all along, as it does where two planes of the piece meet. (On a face a latewood line can do that too, so it proves nothing there.)
/// </summary>
internal static class OutlineSupport
{
    /// <summary>0.06: of a side's length left out at either end, where arrises are broken and neighbouring sides begin.</summary>
    private const double LeftOut = 0.06;

    /// <summary>1 to 3.25 mm: how deep it is looked to either side; the map reaches 4 mm beyond the outline, and nearer than 1 mm its rim is soft.</summary>
    private static readonly double[] DepthsMm = [1, 1.75, 2.5, 3.25];

    /// <summary>0.4 to 1.2 mm: how far from an arris its two planes are compared; nearer it is rounded and catches light.</summary>
    private static readonly double[] StepsMm = [0.4, 0.8, 1.2];

    /// <summary>5 levels of 255: least change of light across an arris, in the mean along it.</summary>
    private const double LeastStep = 5;

    /// <summary>4: least ratio of that change to its standard error along the arris. Rings that end on a sawn line change to and fro.</summary>
    private const double LeastSurety = 4;

    /// <summary>Of each side, 1-2 first, the share of its places that an edge of the wood supports, 0 to 1; null where the photo does not show what lies beyond.</summary>
    /// <param name="maps">What the network said.</param>
    /// <param name="plane">Frame of the outline.</param>
    /// <param name="arris">Of each side, whether a side of the piece may show beyond it: null on a face.</param>
    /// <param name="photo">The photo.</param>
    public static IReadOnlyList<double?> OfSides(SurfaceMaps maps, SurfaceFrame plane, IReadOnlyList<bool>? arris, UprightPhoto photo)
    {
        if (maps[MarkClass.Wood] is not { } wood)
            return [null, null, null, null];
        var middle = plane.MiddleMm;
        return [.. Enumerable.Range(0, 4).Select(Of)];

        double? Of(int k)
        {
            var (a, b) = (plane.CornersMm[k], plane.CornersMm[(k + 1) % 4]);
            var length = a.DistanceTo(b);
            var along = (b - a) * (1 / length);
            var inward = new Point2d(-along.Y, along.X);
            if (((middle - a).X * inward.X) + ((middle - a).Y * inward.Y) < 0)
                inward *= -1;
            var places = Math.Clamp((int)length, 24, 240);
            var shown = Enumerable.Range(0, places).Select(i => a + (along * (length * (LeftOut + ((1 - (2 * LeftOut)) * i / (places - 1))))))
                .Where(at => Shows(photo, plane.ToPx(at - (inward * DepthsMm[^1])))).ToList();
            if (shown.Count < places / 4)
                return null;
            var within = shown.ConvertAll(at => Mean(at, inward) >= 0.5);
            var ends = shown.Zip(within).Count(p => p.Second && Mean(p.First, inward * -1) < 0.5);
            return arris is not null && arris[k] && IsArris(photo, plane, shown, inward)
                ? (double)within.Count(w => w) / shown.Count
                : (double)ends / shown.Count;
        }

        double Mean(Point2d from, Point2d way) => DepthsMm.Average(d => At(from + (way * d)));

        double At(Point2d mm)
        {
            var p = maps.FromMm(mm);
            var (x, y) = (Math.Clamp((int)Math.Round(p.X), 0, maps.Width - 1), Math.Clamp((int)Math.Round(p.Y), 0, maps.Height - 1));
            return wood[(y * maps.Width) + x] / SurfaceMaps.One;
        }
    }

    /// <summary>True where the light changes across a line one way all along it.</summary>
    private static bool IsArris(UprightPhoto photo, SurfaceFrame plane, List<Point2d> places, Point2d inward)
    {
        var steps = places.ConvertAll(at => StepsMm.Average(d => Grey(at + (inward * d)) - Grey(at - (inward * d))));
        var mean = steps.Average();
        var error = Math.Sqrt(steps.Average(s => (s - mean) * (s - mean)) / steps.Count);
        return Math.Abs(mean) >= LeastStep && Math.Abs(mean) >= LeastSurety * error;

        double Grey(Point2d mm)
        {
            var p = plane.ToPx(mm);
            var c = photo.Bgr.At<Vec3b>(Math.Clamp((int)Math.Round(p.Y), 0, photo.Height - 1), Math.Clamp((int)Math.Round(p.X), 0, photo.Width - 1));
            return (c.Item0 + c.Item1 + c.Item2) / 3.0;
        }
    }

    private static bool Shows(UprightPhoto photo, PointPx p) => p.X >= 0 && p.Y >= 0 && p.X <= photo.Width - 1 && p.Y <= photo.Height - 1;
}
