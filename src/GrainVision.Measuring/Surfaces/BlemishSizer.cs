using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Numerics;
using GrainVision.Measuring.Orientation;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>Sizes, places and describes a named region as the contract's finding.</summary>
/// <param name="maps">What the region was found in.</param>
/// <param name="plane">The section's frame.</param>
/// <param name="scaleRelative">Relative standard uncertainty of the scale.</param>
/// <param name="grain">A face's grey surface, to read the grain beside a knot off; null for an end.</param>
internal sealed class BlemishSizer(SurfaceMaps maps, SurfaceFrame plane, double scaleRelative, RectifiedSurface? grain)
{
    /// <summary>2.5 mm: cells and window of the grain beside a blemish, which turns over the blemish's own width.</summary>
    private const double GrainCellMm = 2.5;

    /// <summary>0.4: coherence from which a cell has a direction.</summary>
    private const double LeastCoherence = 0.4;

    /// <summary>0.035 (2°): standard uncertainty of a direction over such a small window; assumed, not measured: no drawn knot's edge slope has been held against its truth yet.</summary>
    private const double GrainU = 0.035;

    /// <summary>0.75 mm: how much too wide a knot's rim lies at half of its peak; the network was taught that a missed pixel weighs more than one too many. Mean over 74 drawn knots.</summary>
    private const double KnotRimMm = 0.75;

    /// <summary>0.5 mm and 8 %: standard uncertainty of a knot's extents beside that.</summary>
    private const double KnotUMm = 0.5;
    private const double KnotUShare = 0.08;

    /// <summary>0.7 mm and 10 %: of any other mark's.</summary>
    private const double MarkUMm = 0.7;
    private const double MarkUShare = 0.1;

    /// <summary>48 points of an outline are enough to draw it.</summary>
    private const int OutlinePoints = 48;

    private OrientationCell[]? _cells;

    public BlemishFinding Finding(NamedRegion named)
    {
        var knot = BlemishKinds.IsKnot(named.Kind);
        return Placed(named.Region, named.Kind, Math.Round(named.Probability, 3)) with
        {
            Kinds = named.Kinds,
            BlemishProbability = Math.Round(named.BlemishProbability, 3),
            EdgeSlope = grain is not null && knot ? EdgeSlope(named.Region, grain) : null,
        };
    }

    /// <summary>A mark of the shop or dirt that nothing took for a blemish.</summary>
    public BlemishFinding Harmless(MarkRegion region) => Placed(region, BlemishKind.Unknown, 0) with { BlemishProbability = 0, HarmlessKind = MarkClasses.Code(region.Class) };

    private BlemishFinding Placed(MarkRegion region, BlemishKind kind, double probability)
    {
        var every = Math.Max(1, region.RimMm.Count / OutlinePoints);
        double Own(double mm) => BlemishKinds.IsKnot(kind) ? Math.Max(mm / 2, mm - KnotRimMm) : mm;
        return new BlemishFinding(
            kind, probability, plane.ToPx(region.MiddleMm), Size(kind, Own(region.Shape.WidthMm)), Size(kind, Own(region.Shape.DiameterMm)),
            Math.Round(Own(region.Shape.LengthMm), 2), Math.Round(Own(region.Shape.WidthMm), 2), Math.Round(region.InsideMm, 2),
            [.. region.RimMm.Where((_, i) => i % every == 0).Select(plane.ToPx)])
        {
            AlongMm = Math.Round(region.MiddleMm.X, 2),
            AcrossMm = Math.Round(region.MiddleMm.Y, 2),
        };
    }

    private Measured Size(BlemishKind kind, double mm)
    {
        var (fix, share) = BlemishKinds.IsKnot(kind) ? (KnotUMm, KnotUShare) : (MarkUMm, MarkUShare);
        var u = Math.Sqrt(Math.Pow(fix, 2) + Math.Pow(0.5 / maps.PitchPxPerMm, 2) + Math.Pow(mm * scaleRelative, 2) + Math.Pow(share * mm, 2));
        return Measured.FromStandardUncertainty(mm, u).ClampTo(0, double.MaxValue);
    }

    /// <summary>
    /// Steepest line between a blemish and the nearer long edge, over its own length to either side; tangent against the piece's axis.
    /// Null where no lines show there.
    /// </summary>
    private Measured? EdgeSlope(MarkRegion region, RectifiedSurface raster)
    {
        _cells ??= OrientationCells.Compute(raster, 0.35, GrainCellMm, GrainCellMm);
        var box = region.BoxMm;
        var (left, right) = (box.Left - region.Shape.LengthMm, box.Right + region.Shape.LengthMm);
        var nearFirst = box.Top < plane.SecondSideMm - box.Bottom;
        double? steepest = null;
        foreach (var cell in _cells)
        {
            var between = nearFirst ? cell.AtMm.Y < box.Top : cell.AtMm.Y > box.Bottom;
            if (!between || cell.AtMm.X < left || cell.AtMm.X > right || cell.Coherence < LeastCoherence)
                continue;
            var slope = Math.Abs(Math.Tan(Math.IEEERemainder(cell.NormalRad + (Math.PI / 2), Math.PI)));
            steepest = Math.Max(steepest ?? 0, Math.Min(slope, 10));
        }

        return steepest is { } s ? Measured.FromStandardUncertainty(s, GrainU * (1 + (s * s))).ClampTo(0, double.MaxValue) : null;
    }
}
