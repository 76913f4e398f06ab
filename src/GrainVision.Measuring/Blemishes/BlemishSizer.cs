using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Imaging;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>Sizes, places and describes a named candidate as the contract's finding.</summary>
internal sealed class BlemishSizer(SectionRaster raster, View view, double scaleRelative)
{
    /// <summary>2.5 mm: cells and window of the grain beside a blemish, which turns over the blemish's own width.</summary>
    private const double GrainCellMm = 2.5;

    /// <summary>0.4: coherence from which a cell has a direction.</summary>
    private const double LeastCoherence = 0.4;

    /// <summary>0.035 (2°): standard uncertainty of a direction over such a small window; assumed, not measured: no drawn knot's edge slope has been held against its truth yet.</summary>
    private const double GrainU = 0.035;

    private OrientationCell[]? _cells;

    public BlemishFinding Finding(NamedCandidate named)
    {
        var c = named.Candidate;
        var middle = c.MiddleMm;
        var every = Math.Max(1, c.RimMm.Count / 48);
        return new BlemishFinding(
            named.Kind, Math.Round(named.Probability, 3), raster.Plane.ToPx(middle), Size(c.Shape.WidthMm), Size(c.Shape.DiameterMm),
            Math.Round(c.Shape.LengthMm, 2), Math.Round(c.Shape.WidthMm, 2), Math.Round(c.InsideMm, 2),
            [.. c.RimMm.Where((_, i) => i % every == 0).Select(raster.Plane.ToPx)])
        {
            AlongMm = Math.Round(middle.X, 2),
            AcrossMm = Math.Round(middle.Y, 2),
            Kinds = named.Kinds,
            BlemishProbability = Math.Round(named.BlemishProbability, 3),
            EdgeSlope = view == View.Face && BlemishClasses.IsKnot(named.Kind) ? EdgeSlope(c) : null,
        };
    }

    /// <summary>A rim read off a blurred threshold may lie a pixel and a half millimetre in or out, on both sides.</summary>
    private Measured Size(double mm)
    {
        var u = Math.Sqrt(Math.Pow(0.7 + (1 / raster.PitchPxPerMm), 2) + Math.Pow(mm * scaleRelative, 2) + Math.Pow(0.1 * mm, 2));
        return Measured.FromStandardUncertainty(mm, u).ClampTo(0, double.MaxValue);
    }

    /// <summary>
    /// Steepest line between a blemish and the nearer long edge, over its own length to either side; tangent against the piece's axis.
    /// Null where no lines show there.
    /// </summary>
    private Measured? EdgeSlope(BlemishCandidate c)
    {
        _cells ??= OrientationCells.Compute(raster, 0.35, GrainCellMm, GrainCellMm);
        var (left, right) = (c.RimMm.Min(p => p.X) - c.Shape.LengthMm, c.RimMm.Max(p => p.X) + c.Shape.LengthMm);
        var (top, bottom) = (c.RimMm.Min(p => p.Y), c.RimMm.Max(p => p.Y));
        var nearFirst = top < raster.Plane.SecondSideMm - bottom;
        double? steepest = null;
        foreach (var cell in _cells)
        {
            var between = nearFirst ? cell.AtMm.Y < top : cell.AtMm.Y > bottom;
            if (!between || cell.AtMm.X < left || cell.AtMm.X > right || cell.Coherence < LeastCoherence)
                continue;
            var slope = Math.Abs(Math.Tan(Math.IEEERemainder(cell.NormalRad + (Math.PI / 2), Math.PI)));
            steepest = Math.Max(steepest ?? 0, Math.Min(slope, 10));
        }

        return steepest is { } s ? Measured.FromStandardUncertainty(s, GrainU * (1 + (s * s))).ClampTo(0, double.MaxValue) : null;
    }
}
