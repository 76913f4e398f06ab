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

    private const string HandCheck =
        "Find the fibre direction by hand on all four faces: free-flowing ink, a scribe or a split, against the long edge over 500 mm or more.";

    public static SlopeStageResult Measure(SectionRaster raster, PieceOutline outline, Mat? leaveOut)
    {
        if (!outline.AxisSeen)
            return Cannot("no long edge of the piece shows in the photo, so there is no axis to measure from", "Retake with a long edge in the picture, or give the outline.");
        var figure = FaceFigure.From(raster, FigureBand.RingLines, leaveOut);
        var grid = SlopeGrid.Measure(figure);
        var kind = FaceKind.Of(figure, grid);
        if (kind.EdgeGrain)
            return new SlopeStageResult(Finding(grid, raster.Plane, outline, GrainBasis.RingLines), null, []);

        if (FibreStreaks.Measure(raster, leaveOut) is { } streaks)
            return new SlopeStageResult(Finding(streaks, raster.Plane, outline, GrainBasis.FibreStreaks), null, [$"Taken for flat grain: {kind.Why}."]);
        return Cannot($"the face is not taken for edge grain ({kind.Why}) and no fibre streaks can be followed", HandCheck);
    }

    private static GrainFinding Finding(SlopeGrid grid, SectionPlane plane, PieceOutline outline, GrainBasis basis)
    {
        var slope = grid.Overall();
        var stations = grid.Stations().ToList();
        // Windows overlap by half along the piece, and neighbours share rings: a third of them count as independent.
        var independent = Math.Max(2, grid.Windows.Count / 3.0);
        var random = grid.Spread() / Math.Sqrt(independent);
        var axis = Math.Sqrt(Math.Pow(outline.AxisUncertaintyRad, 2) + Math.Pow(plane.SideSkewRad / 4, 2));
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
        new(null, new CannotSay("grain", $"The slope of grain cannot be told from this photo: {why}.", handCheck), []);
}
