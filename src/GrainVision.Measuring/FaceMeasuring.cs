using GrainVision.Grading.Findings;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Section;
using GrainVision.Measuring.Slope;
using GrainVision.Measuring.Surfaces;

namespace GrainVision.Measuring;

/// <summary>The stages of a face: its surface first, since grain flows round blemishes, then slope of grain on what is left.</summary>
internal static class FaceMeasuring
{
    /// <summary>10 px/mm: fibre streaks of 0.2 mm are two pixels wide.</summary>
    private const double FinestPitch = 10;

    /// <summary>4 MP: a face of 400 x 100 mm at the finest pitch.</summary>
    private const double MostPixels = 4e6;

    public static Measurement Run(
        UprightPhoto photo, Measurement basis, PieceOutline outline, SurfaceFrame plane, double? ringAngleDeg, StageClock clock)
    {
        var scaleRelative = basis.Scale.PixelsPerMm.StandardUncertainty / basis.Scale.PixelsPerMm.Value;
        using var raster = clock.Run("slope", () => RectifiedSurface.Resample(photo, plane, FinestPitch, MostPixels));
        var surface = clock.Run("surface", () => SurfaceStage.Find(photo, plane, View.Face, _ => 0, scaleRelative, arris: null, raster));
        var slope = clock.Run("slope", () =>
        {
            using var leaveOut = SurfaceStage.LeaveOut(raster, surface.Reported);
            return SlopeStage.Measure(raster, outline, leaveOut, ringAngleDeg);
        });
        return basis with
        {
            Grain = slope.Finding,
            Blemishes = surface.Reported,
            DismissedMarks = surface.Dismissed,
            Surface = surface.Decision,
            CannotSay = [.. basis.CannotSay, .. OutlineProof.CannotSay(outline, surface.SideSupport), .. slope.CannotSay is { } cannot ? [cannot] : Array.Empty<CannotSay>()],
            Warnings = [.. basis.Warnings, .. OutlineProof.Warnings(outline, surface.SideSupport), .. slope.Warnings],
        };
    }
}
