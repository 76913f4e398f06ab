using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>
/// Size and diameter of a blemish by ANC-19 2.301, from its rim in the section's metric frame.
/// </summary>
/// <param name="LengthMm">Extent along the piece.</param>
/// <param name="WidthMm">Extent across it: ANC-19's size, the distance between lines parallel to the face's edges.</param>
/// <param name="DiameterMm">Least distance between any two parallel lines that enclose it: ANC-19's diameter.</param>
/// <param name="LongestMm">Greatest such distance.</param>
internal readonly record struct BlemishShape(double LengthMm, double WidthMm, double DiameterMm, double LongestMm)
{
    /// <param name="rimMm">Points of the rim.</param>
    /// <param name="padMm">Added to each extent: what the points leave out of the rim.</param>
    public static BlemishShape Of(IReadOnlyList<Point2d> rimMm, double padMm = 0)
    {
        double Extent(double angle)
        {
            var (cos, sin) = (Math.Cos(angle), Math.Sin(angle));
            var (least, greatest) = (double.MaxValue, double.MinValue);
            foreach (var p in rimMm)
            {
                var d = (p.X * cos) + (p.Y * sin);
                (least, greatest) = (Math.Min(least, d), Math.Max(greatest, d));
            }

            return greatest - least + padMm;
        }

        var all = Enumerable.Range(0, 60).Select(i => Extent(Units.DegToRad(3 * i))).ToArray();
        return new BlemishShape(Extent(0), Extent(Math.PI / 2), all.Min(), all.Max());
    }
}
