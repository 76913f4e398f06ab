using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Angle;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Orientation;
using GrainVision.Measuring.Rings;
using GrainVision.Measuring.Section;
using GrainVision.Measuring.Surfaces;

namespace GrainVision.Measuring;

/// <summary>The stages of an end: ring field, angle, surface, and rings last, since a blemish across them puts their count in doubt.</summary>
internal static class EndMeasuring
{
    /// <summary>14 px/mm: a 0.3 mm ring is four pixels wide; finer pictures are averaged down to it.</summary>
    private const double FinestPitch = 14;

    /// <summary>3 MP: an end of 200 x 75 mm at the finest pitch.</summary>
    private const double MostPixels = 3e6;

    public static Measurement Run(UprightPhoto photo, Measurement basis, PieceOutline outline, SurfaceFrame plane, StageClock clock)
    {
        using var raster = clock.Run("rings", () => RectifiedSurface.Resample(photo, plane, FinestPitch, MostPixels));
        if (clock.Run("angle", () => RingFieldStage.Fit(raster)) is not { } fit)
            return NoField(basis);

        var scaleRelative = basis.Scale.PixelsPerMm.StandardUncertainty / basis.Scale.PixelsPerMm.Value;
        var angle = clock.Run("angle", () => RingAngle.Find(fit, plane, outline.AxisUncertaintyRad, scaleRelative));
        var surface = clock.Run("surface", () =>
            SurfaceStage.Find(photo, plane, View.End, p => fit.Field.NormalRad(p) + (Math.PI / 2), scaleRelative, outline.Arris, grain: null));
        var rings = clock.Run("rings", () => RingCounter.Count(photo, raster, fit, AlongRadius(basis.Scale), RingPorous.Is(basis.Species), surface.Reported));

        var cannot = new List<CannotSay>();
        if (rings.CannotSay is { } noRings)
            cannot.Add(noRings);
        if (!outline.AxisSeen)
            cannot.Add(new CannotSay(CannotSayTopic.RingAngle, "no wide face shows in the photo, so there is nothing to take the rings' angle against", "Lay a protractor on the end against the wide face."));
        return basis with
        {
            Rings = rings.Finding,
            RingAngle = outline.AxisSeen ? angle : null,
            Blemishes = surface.Reported,
            DismissedMarks = surface.Dismissed,
            Surface = surface.Decision,
            CannotSay = [.. basis.CannotSay, .. OutlineProof.CannotSay(outline, surface.SideSupport), .. cannot],
            Warnings = [.. basis.Warnings, .. OutlineProof.Warnings(outline, surface.SideSupport)],
        };
    }

    /// <summary>
    /// Scale over the whole radius. Where it comes from the outline's size its error in the middle is the lens's, which turns round towards the rim, so that over a radius from
    /// rim to rim about half is left.
    /// </summary>
    private static Measured AlongRadius(ScaleFinding scale) => scale.Kind == ScaleKind.OutlineSize
        ? Measured.FromStandardUncertainty(scale.PixelsPerMm.Value, 0.5 * scale.PixelsPerMm.StandardUncertainty)
        : scale.PixelsPerMm;

    private static Measurement NoField(Measurement basis)
    {
        const string why = "no growth rings could be followed on this end (too rough, too blurred, painted or too far away)";
        const string handCheck = "Plane or freshly cut the end, wet it, and retake closer; or count the rings and measure their angle by hand.";
        return basis with
        {
            CannotSay = [.. basis.CannotSay, new CannotSay(CannotSayTopic.Rings, why, handCheck), new CannotSay(CannotSayTopic.RingAngle, why, handCheck), new CannotSay(CannotSayTopic.Blemishes, why, handCheck)],
        };
    }
}
