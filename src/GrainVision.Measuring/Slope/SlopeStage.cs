using GrainVision.Grading.Findings;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>What the slope stage found: the finding, or why it cannot say.</summary>
internal sealed record SlopeStageResult(GrainFinding? Finding, CannotSay? CannotSay, IReadOnlyList<Warning> Warnings);

/// <summary>
/// Slope of grain of a face: from fine fibre streaks where they can be told from the ring figure, from ring lines where the face is near
/// radial, from both where both show, else not at all. A flat-grain face's cathedral figure is never read as slope (ANC-19 2.3206).
/// </summary>
internal static class SlopeStage
{
    private const string HandCheck =
        "Find the fibre direction by hand on all four faces: free-flowing ink, a scribe or a split, against the long edge over 500 mm or more.";

    /// <summary>0.03 (1.7°): long edges of a plank that part by more, with the perspective taken out, are not both edges of it.</summary>
    private const double MostConverging = 0.03;

    /// <param name="raster">The face.</param>
    /// <param name="outline">Its outline: the axis is worth no more than that.</param>
    /// <param name="leaveOut">CV_8UC1 of the raster's size, non-zero on blemishes and what flows round them; null for none.</param>
    /// <param name="ringAngleDeg">Ring angle to this face from the end, or null.</param>
    public static SlopeStageResult Measure(RectifiedSurface raster, PieceOutline outline, Mat? leaveOut, double? ringAngleDeg)
    {
        if (!outline.AxisSeen)
            return Cannot("no long edge of the piece shows in the photo, so there is no axis to measure from", "Retake with a long edge in the picture, or give the outline.");
        using var strips = FaceStrips.From(raster, leaveOut);
        using var coarse = strips.Coarser(FigureBand.RingLines.MostRowsPerMm);
        var figure = FaceFigure.From(coarse, FigureBand.RingLines);
        var rings = SlopeGrid.Measure(figure, GridPlan.RingLines(figure.Columns / figure.AlongPerMm));
        var local = new LocalAxis(raster.Plane, outline);
        var straight = local.Straighten(rings);
        var kind = FaceKind.From(figure, rings, straight, ringAngleDeg);
        var streaks = FibreStreaks.Measure(strips, rings, local);

        if (local.KnowsPerspective && local.Converging > MostConverging)
            return Cannot($"its long edges stand {Math.Atan(local.Converging) * 180 / Math.PI:0.#}° to each other, so one of them is not the edge of the piece", "Give the outline's corners, or retake with both long edges clear of their background.");
        // Off stated edge grain the streaks must tell themselves from the ring lines: a rift face may pass for edge grain.
        var whyNot = SlopeUncertainty.WhyNot(streaks, kind.EdgeGrain && ringAngleDeg is not null);
        var axis = SlopeUncertainty.Axis(outline, local, streaks is not null && whyNot is null ? streaks.AsShown : rings);
        var byRings = kind.EdgeGrain && SlopeField.Fit(straight.Windows) is { } field
            ? new SlopeReading(straight, field, local, GrainBasis.RingLines, 0, SlopeUncertainty.RingLines(ringAngleDeg, field.At(raster.Plane.MiddleMm), axis))
            : null;
        var byStreaks = streaks is not null && whyNot is null
            ? new SlopeReading(streaks.Grid, streaks.Field, local, GrainBasis.FibreStreaks, 0, SlopeUncertainty.FibreStreaks(streaks, axis))
            : null;
        return (byRings, byStreaks) switch
        {
            (null, null) => Cannot($"the face is not taken for edge grain ({kind.Why}) and {whyNot}", HandCheck),
            (null, { } reading) => Found(reading, raster.Plane, new Warning(WarningCode.TakenForFlatGrain, $"Taken for flat grain: {kind.Why}.")),
            ({ } reading, null) => Found(reading, raster.Plane, ringAngleDeg is null
                ? new Warning(WarningCode.RingAngleNotKnown, "The ring angle to this face is not known, so the slope's interval covers a rift face too: measure the end and state it as ringAngleDegrees.")
                : null),
            ({ } one, { } other) => Found(SlopeUncertainty.Combine(one, other, raster.Plane), raster.Plane, null),
        };
    }

    private static SlopeStageResult Found(SlopeReading reading, SurfaceFrame plane, Warning? warning) =>
        new(reading.Finding(plane), null, warning is null ? [] : [warning]);

    private static SlopeStageResult Cannot(string why, string handCheck) =>
        new(null, new CannotSay(CannotSayTopic.Grain, why, handCheck), []);
}
