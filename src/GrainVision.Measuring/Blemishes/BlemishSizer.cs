using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Orientation;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>Sizes, places and describes a named candidate as the contract's finding.</summary>
internal sealed class BlemishSizer(SurfaceChannels surface, RectifiedSurface raster, View view, double scaleRelative)
{
    /// <summary>2.5 mm: cells and window of the grain beside a blemish, which turns over the blemish's own width.</summary>
    private const double GrainCellMm = 2.5;

    /// <summary>0.4: coherence from which a cell has a direction.</summary>
    private const double LeastCoherence = 0.4;

    /// <summary>0.035 (2°): standard uncertainty of a direction over such a small window; assumed, not measured: no drawn knot's edge slope has been held against its truth yet.</summary>
    private const double GrainU = 0.035;

    private OrientationCell[]? _cells;

    /// <summary>0.3 mm: how much too wide the steepest line lies, by blur and by the dark rim; mean over 97 drawn knots of seeds 110000 to 110180.</summary>
    private const double RimBiasMm = 0.3;

    /// <summary>0.5 mm and 6 %: standard uncertainty of a knot's diameter beside what its own lines of equal grey tell; from the same knots.</summary>
    private const double KnotUMm = 0.5;
    private const double KnotUShare = 0.06;

    /// <summary>0.3: share of the odd place outside the rim that the interval reaches over; where it is much wider than the rim, the rim is less sure.</summary>
    private const double OutsideShare = 0.3;

    public BlemishFinding Finding(NamedCandidate named)
    {
        var c = named.Candidate;
        var rim = BlemishClasses.IsKnot(named.Kind) && named.Kind != BlemishKind.PinKnotCluster ? KnotRim.Of(surface, raster, c) : null;
        var (rimMm, inside) = rim is null ? (c.RimMm, c.InsideMm) : (rim.RimMm, rim.InsideMm);
        var (length, width) = rim is null ? (c.Shape.LengthMm, c.Shape.WidthMm) : (Less(rim.Shape.LengthMm), Less(rim.Shape.WidthMm));
        var middle = BlemishCandidate.MiddleOf(rimMm);
        var every = Math.Max(1, rimMm.Count / 48);
        return new BlemishFinding(
            named.Kind, Math.Round(named.Probability, 3), raster.Plane.ToPx(middle),
            rim is null ? Size(c.Shape.WidthMm) : KnotSize(rim, rim.Shape.WidthMm, c.Shape.WidthMm),
            rim is null ? Size(c.Shape.DiameterMm) : KnotSize(rim, rim.Shape.DiameterMm, c.Shape.DiameterMm),
            Math.Round(length, 2), Math.Round(width, 2), Math.Round(inside, 2), [.. rimMm.Where((_, i) => i % every == 0).Select(raster.Plane.ToPx)])
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
    /// An extent of the knot proper. Its interval holds the lines that may be its rim just as well, in proportion for an extent that is not the diameter.
    /// </summary>
    private Measured KnotSize(KnotRim rim, double rimMm, double candidateMm)
    {
        var mm = Less(rimMm);
        var u = Math.Sqrt(Math.Pow(KnotUMm, 2) + Math.Pow(KnotUShare * mm, 2) + Math.Pow(mm * scaleRelative, 2) + Math.Pow(0.3 / raster.PitchPxPerMm, 2));
        var inProportion = rimMm / Math.Max(0.1, rim.Shape.DiameterMm);
        var narrower = 0.5 * inProportion * (rim.Shape.DiameterMm - rim.LeastMm);
        var wider = inProportion * (rim.GreatestMm - rim.Shape.DiameterMm);
        var outside = OutsideShare * Math.Max(0, candidateMm - rimMm - wider);
        return new Measured(mm, mm - (Measured.CoverageFactor * u) - narrower, mm + (Measured.CoverageFactor * u) + wider + outside).ClampTo(0, double.MaxValue);
    }

    private static double Less(double mm) => Math.Max(0.5 * mm, mm - RimBiasMm);

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
