using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>
/// Slope from fine fibre streaks (fibre ends, vessel lines, resin ducts), told from growth-ring figure by their scale: ring figure is
/// several times coarser across the grain, and is subtracted before the search.
/// </summary>
/// <remarks>
/// Only believed where many windows across the whole face agree within half a degree or so: cathedral lines curve, fibres run straight.
/// Known to fail: sanding scratches along the piece look just like fibres; ring lines thinner than half a millimetre leak through.
/// </remarks>
internal static class FibreStreaks
{
    /// <summary>7: photo pixels per mm below which streaks of 0.2 to 0.3 mm are not resolved.</summary>
    private const double LeastPixelsPerMm = 7;

    /// <summary>0.6: share of windows that must show streaks.</summary>
    private const double LeastShown = 0.6;

    /// <summary>0.02 (1.1°): spread of the windows beyond which the streaks are no one direction.</summary>
    private const double WidestSpread = 0.02;

    public static SlopeGrid? Measure(SectionRaster raster, Mat? leaveOut)
    {
        if (raster.PitchPxPerMm < LeastPixelsPerMm)
            return null;
        var grid = SlopeGrid.Measure(FaceFigure.From(raster, FigureBand.FibreStreaks, leaveOut));
        return grid.Shown >= LeastShown && grid.Windows.Count >= 6 && grid.Spread() <= WidestSpread ? grid : null;
    }
}
