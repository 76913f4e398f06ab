using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>
/// Thin lines on an end that reach its rim and run across the rings, or along them, are asked about though the network takes them for pencil: checks and shakes begin at the rim and
/// run just so (USDA FPL-GTR-282, Wood Handbook 2021, ch. 5, checks and shakes), and of four drawn cracks that were accepted two were such lines (tools/GrainVision.Accuracy/RESULTS.md).
/// A pencil stroke that looks the same costs a question.
/// </summary>
internal static class EdgeLines
{
    /// <summary>4 mm: shorter is a speck.</summary>
    private const double LeastMm = 4;

    /// <summary>2 mm: a pencil's line is half as wide, a broader band is a stamp's stroke or dirt.</summary>
    private const double MostWideMm = 2;

    /// <summary>1 mm: how near to the rim it begins.</summary>
    private const double RimMm = 1;

    /// <summary>20°: how far off the radius or the ring it may run.</summary>
    private static readonly double Most = Math.Sin(Units.DegToRad(20));

    /// <summary>0.5: what the network must give a pencil line for it to be one here.</summary>
    private const double Seed = 0.5;

    /// <summary>Those of a surface, whether or not a part of the line was taken for a crack as well.</summary>
    public static IReadOnlyList<MarkRegion> Find(SurfaceLook look, Func<Point2d, double> lineRad) =>
        [.. Among(RegionFinder.Find(look.Maps, look.Rim, [MarkClass.Marking], Seed), lineRad)];

    /// <param name="marks">Harmless marks.</param>
    /// <param name="lineRad">Direction of the growth lines.</param>
    public static IEnumerable<MarkRegion> Among(IEnumerable<MarkRegion> marks, Func<Point2d, double> lineRad) => marks.Where(m =>
        m.Class == MarkClass.Marking && m.Shape.LongestMm >= LeastMm && m.Shape.DiameterMm <= MostWideMm && m.InsideMm <= RimMm
        && Math.Abs(Math.Sin(DirectionRad(m.RimMm) - lineRad(m.MiddleMm))) is var turn && (turn <= Most || turn >= Math.Sqrt(1 - (Most * Most))));

    /// <summary>Of the two points of a rim that lie farthest apart.</summary>
    private static double DirectionRad(IReadOnlyList<Point2d> rim)
    {
        var (most, rad) = (-1.0, 0.0);
        for (var i = 0; i < rim.Count; i++)
        {
            for (var j = i + 1; j < rim.Count; j++)
            {
                var (dx, dy) = (rim[j].X - rim[i].X, rim[j].Y - rim[i].Y);
                if ((dx * dx) + (dy * dy) > most)
                    (most, rad) = ((dx * dx) + (dy * dy), Math.Atan2(dy, dx));
            }
        }

        return rad;
    }
}
