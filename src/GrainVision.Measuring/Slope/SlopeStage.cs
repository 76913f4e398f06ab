using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Imaging;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>What the slope stage found: the finding, or why it cannot say.</summary>
internal sealed record SlopeStageResult(GrainFinding? Finding, CannotSay? CannotSay, IReadOnlyList<string> Warnings);

/// <summary>
/// Slope of grain of a face: from ring lines where the face is near radial, from fine fibre streaks elsewhere, else not at all.
/// A flat-grain face's cathedral figure is never read as slope (ANC-19 2.3206).
/// </summary>
internal static class SlopeStage
{
    /// <summary>0.08° in tangent: what the shear search leaves on drawn lines.</summary>
    private const double ModelTangent = 0.0014;

    /// <summary>
    /// 0.035 (2°): usual spiral grain of sound softwood, standard deviation (common practice, no source). Ring lines of a face at ring angle a
    /// miss the fibres by tan(spiral)·cos(a).
    /// </summary>
    private const double SpiralTangent = 0.035;

    /// <summary>
    /// 0.016: the same where the ring angle is not stated. On 200 drawn faces taken for edge grain, 95 % of the fibre slopes lay within
    /// 0.032 of the ring lines'.
    /// </summary>
    private const double UnknownAngleTangent = 0.016;

    /// <summary>0.006: streaks against the fibres' true direction, on drawn flat-grain faces.</summary>
    private const double StreakTangent = 0.006;

    /// <summary>0.015: streaks that run with the ring figure to within this may be that figure leaking through.</summary>
    private const double LeakWithin = 0.015;

    private const string HandCheck =
        "Find the fibre direction by hand on all four faces: free-flowing ink, a scribe or a split, against the long edge over 500 mm or more.";

    /// <param name="raster">The face.</param>
    /// <param name="outline">Its outline: the axis is worth no more than that.</param>
    /// <param name="rings">Slopes of the ring lines, with what flows round blemishes left out.</param>
    /// <param name="figure">The figure that they were read from.</param>
    /// <param name="leaveOut">The same places left out, for the streaks.</param>
    /// <param name="ringAngleDeg">Ring angle to this face from the end, or null.</param>
    public static SlopeStageResult Measure(
        SectionRaster raster, PieceOutline outline, SlopeGrid rings, FaceFigure figure, Mat? leaveOut, double? ringAngleDeg)
    {
        if (!outline.AxisSeen)
            return Cannot("no long edge of the piece shows in the photo, so there is no axis to measure from", "Retake with a long edge in the picture, or give the outline.");
        var kind = FaceKind.Of(figure, rings, ringAngleDeg);
        if (kind.EdgeGrain)
        {
            var spiral = ringAngleDeg is { } angle ? SpiralTangent * Math.Cos(Units.DegToRad(Math.Min(angle, 88))) : UnknownAngleTangent;
            string[] warnings = ringAngleDeg is null
                ? ["The ring angle to this face is not known, which widens the slope's interval: measure the end and state it as ringAngleDegrees."]
                : [];
            return new SlopeStageResult(Finding(rings, raster.Plane, outline, GrainBasis.RingLines, spiral), null, warnings);
        }

        if (FibreStreaks.Measure(raster, leaveOut) is not { } streaks)
            return Cannot($"the face is not taken for edge grain ({kind.Why}) and no fibre streaks can be followed", HandCheck);
        var ringsShowStraight = rings.Shown > 0.5 && rings.Fan() < 0.05;
        if (ringsShowStraight && Math.Abs(streaks.Overall() - rings.Overall()) < LeakWithin)
            return Cannot($"the face is not taken for edge grain ({kind.Why}) and its fine streaks cannot be told from the ring figure", HandCheck);
        return new SlopeStageResult(Finding(streaks, raster.Plane, outline, GrainBasis.FibreStreaks, StreakTangent), null, [$"Taken for flat grain: {kind.Why}."]);
    }

    private static GrainFinding Finding(SlopeGrid grid, SectionPlane plane, PieceOutline outline, GrainBasis basis, double basisTangent)
    {
        var slope = grid.Overall();
        var stations = grid.Stations().ToList();
        // Windows overlap by half along the piece, and neighbours share rings: a third of them count as independent.
        var independent = Math.Max(2, grid.Windows.Count / 3.0);
        var random = grid.Spread() / Math.Sqrt(independent);
        // What the axis and the basis leave open shifts every window alike.
        var axis = Math.Sqrt(Math.Pow(outline.AxisUncertaintyRad, 2) + Math.Pow(plane.SideSkewRad / 4, 2) + (basisTangent * basisTangent));
        var u = Math.Sqrt((random * random) + (axis * axis) + (ModelTangent * ModelTangent));
        var overall = Measured.FromStandardUncertainty(slope, u);

        var worst = stations.Count == 0
            ? (Station: 0, Slope: slope, CentreMm: plane.MiddleMm, Lanes: 1)
            : stations.MaxBy(s => Math.Abs(s.Slope));
        var perStation = grid.Spread() / Math.Sqrt(Math.Max(1, worst.Lanes / 1.5));
        var worstU = Math.Sqrt((perStation * perStation) + (axis * axis) + (ModelTangent * ModelTangent));
        return new GrainFinding(
            overall, OneIn.Of(overall), Measured.FromStandardUncertainty(worst.Slope, worstU), basis, GrainTraces.Follow(grid, plane))
        {
            WorstWindowCentre = plane.ToPx(worst.CentreMm),
            OuterEighths = Outer(grid, plane, axis),
        };
    }

    /// <summary>Steepest lane within an outer eighth of the face's width.</summary>
    private static Measured? Outer(SlopeGrid grid, SectionPlane plane, double axis)
    {
        var (top, bottom) = (plane.CornersMm.Min(c => c.Y), plane.CornersMm.Max(c => c.Y));
        var lanes = grid.Windows.Max(w => w.Lane) + 1;
        var half = (bottom - top) / lanes / 2;
        var outer = grid.Windows
            .Where(w => Math.Min(w.CentreMm.Y - half - top, bottom - w.CentreMm.Y - half) < (bottom - top) / 8)
            .GroupBy(w => w.Lane)
            .Select(lane => SlopeGrid.WeightedMedian([.. lane]))
            .ToList();
        if (outer.Count == 0)
            return null;
        var u = Math.Sqrt((grid.Spread() * grid.Spread() / 2) + (axis * axis) + (ModelTangent * ModelTangent));
        return Measured.FromStandardUncertainty(outer.MaxBy(Math.Abs), u);
    }

    private static SlopeStageResult Cannot(string why, string handCheck) =>
        new(null, new CannotSay("grain", why, handCheck), []);
}
