using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Numerics;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>Slopes of a face read from one basis, ready to be told.</summary>
/// <param name="Grid">Window by window.</param>
/// <param name="Field">The plane through them.</param>
/// <param name="Axis">Direction of the piece, against which they were measured.</param>
/// <param name="Basis">What they were read from.</param>
/// <param name="Offset">Added to every slope: what another basis says of all of them together.</param>
/// <param name="Common">Standard uncertainty that all windows share: axis and basis, tangent.</param>
internal sealed record SlopeReading(SlopeGrid Grid, SlopeField Field, LocalAxis Axis, GrainBasis Basis, double Offset, double Common)
{
    /// <summary>0.003: standard deviation of a slow wave of the fibres along a piece (0.25 mm over 300 mm), which a plane does not follow.</summary>
    private const double WaveTangent = 0.003;

    /// <summary>1.5: windows overlap or share rings with their neighbours; their scatter counts for more than if they were independent.</summary>
    private const double Shared = 1.5;

    /// <summary>Slope in the middle of the face with the standard uncertainty of everything.</summary>
    public (double Slope, double U) Overall(SurfaceFrame plane)
    {
        var random = Shared * Field.UncertaintyAt(plane.MiddleMm);
        return (Field.At(plane.MiddleMm) + Offset, Math.Sqrt((random * random) + (Common * Common)));
    }

    public GrainFinding Finding(SurfaceFrame plane)
    {
        var (slope, u) = Overall(plane);
        var overall = Measured.FromStandardUncertainty(slope, u);
        var along = Stations(plane);
        var (at, worst) = along.Select(s => (s.CentreMm, s.Slope)).MaxBy(s => Math.Abs(s.Slope.Value));
        return new GrainFinding(overall, OneIn.From(overall), worst, Basis, GrainTraces.Follow(LineAt, plane))
        {
            WorstWindowCentre = plane.ToPx(at),
            OuterEighths = Outer(plane),
            Along = [.. along.Select(s => new SlopeAlong(s.FromMm, s.ToMm, s.Slope))],
        };
    }

    /// <summary>
    /// Slope in windows of a quarter of the length shown, 20 to 75 mm, over the face's whole width, half a window apart. Each speaks for the stretch nearest
    /// to its middle; the first and the last reach to the ends of what shows, so that the stretches leave no gap.
    /// </summary>
    private List<(double FromMm, double ToMm, Point2d CentreMm, Measured Slope)> Stations(SurfaceFrame plane)
    {
        var (left, right) = (plane.CornersMm.Min(c => c.X), plane.CornersMm.Max(c => c.X));
        var length = Math.Min(right - left, Math.Clamp((right - left) / 4, 20, 75));
        var count = 1 + (int)Math.Ceiling((right - left - length) / (length / 2) - 1e-6);
        var step = count == 1 ? 0 : (right - left - length) / (count - 1);
        var stations = new List<(double, double, Point2d, Measured)>(count);
        for (var k = 0; k < count; k++)
        {
            var centre = new Point2d(left + (length / 2) + (k * step), plane.MiddleMm.Y);
            // Windows reach beyond the stretch by up to half; more would blur what changes along the piece.
            var slope = Local(Grid.Windows.Where(w => Math.Abs(w.CentreMm.X - centre.X) <= Math.Max(length, Grid.WindowLengthMm) / 2), centre);
            stations.Add((k == 0 ? left : centre.X - (step / 2), k == count - 1 ? right : centre.X + (step / 2), centre, slope));
        }

        return stations;
    }

    /// <summary>Steeper of the lanes along the two long edges.</summary>
    private Measured? Outer(SurfaceFrame plane)
    {
        var lanes = new[] { 0, Grid.Lanes - 1 }.Select(lane => Grid.Windows.Where(w => w.Lane == lane).ToList()).Where(l => l.Count > 0).ToList();
        return lanes.Count == 0
            ? null
            : lanes.Select(l => Local(l, new Point2d(plane.MiddleMm.X, l[0].CentreMm.Y))).MaxBy(s => Math.Abs(s.Value));
    }

    /// <summary>
    /// Mean of some windows drawn towards the plane: their own scatter against the wave that wood may show (the best linear predictor).
    /// Without it the steepest of many noisy windows would always be too steep.
    /// </summary>
    private Measured Local(IEnumerable<SlopeWindow> windows, Point2d centre)
    {
        var offs = windows.Select(w => w.Slope - Field.At(w.CentreMm)).ToList();
        var own = offs.Count == 0 ? double.PositiveInfinity : Shared * Field.Spread / Math.Sqrt(offs.Count);
        var share = WaveTangent * WaveTangent / ((WaveTangent * WaveTangent) + (own * own));
        var local = offs.Count == 0 ? 0 : share * RobustStatistics.Median(offs);
        var plain = Shared * Field.UncertaintyAt(centre);
        var u = Math.Sqrt((plain * plain) + ((1 - share) * WaveTangent * WaveTangent) + (Common * Common));
        return Measured.FromStandardUncertainty(Field.At(centre) + Offset + local, u);
    }

    /// <summary>Direction of the grain as it shows, for the picture.</summary>
    private double LineAt(Point2d mm) => Field.At(mm) + Offset + Axis.At(mm);
}
