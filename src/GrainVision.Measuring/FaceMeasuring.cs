using GrainVision.Grading.Findings;
using GrainVision.Measuring.Blemishes;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Section;
using GrainVision.Measuring.Slope;

namespace GrainVision.Measuring;

/// <summary>The stages of a face: blemishes first, since grain flows round them, then slope of grain on what is left.</summary>
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
        var blemishes = clock.Run("blemishes", () =>
        {
            using var coarse = RectifiedSurface.Resample(photo, plane, LineBackground.PitchPxPerMm, MostPixels);
            var lines = new FaceLines(coarse);
            return BlemishStage.Find(photo, coarse, View.Face, lines.At, _ => 0, scaleRelative);
        });
        var slope = clock.Run("slope", () =>
        {
            using var raster = RectifiedSurface.Resample(photo, plane, FinestPitch, MostPixels);
            using var leaveOut = BlemishStage.LeaveOut(raster, blemishes.Reported);
            return SlopeStage.Measure(raster, outline, leaveOut, ringAngleDeg);
        });
        return basis with
        {
            Grain = slope.Finding,
            Blemishes = blemishes.Reported,
            DismissedMarks = blemishes.Dismissed,
            CannotSay = slope.CannotSay is { } cannot ? [.. basis.CannotSay, cannot] : basis.CannotSay,
            Warnings = [.. basis.Warnings, .. slope.Warnings],
        };
    }
}
