using GrainVision.Grading.Findings;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>Traced grain lines of a face, and where the grain is steepest.</summary>
internal static class GrainOverlay
{
    public static void DrawTraces(OverlayCanvas ink, PictureFrame frame, Measurement measurement)
    {
        foreach (var trace in measurement.Grain?.Traces ?? [])
            ink.Line(frame.Map(trace), PictureStyle.Grain, frame.Style.CorePx * 0.6f);
    }

    public static void DrawWorstWindow(OverlayCanvas ink, PictureFrame frame, Measurement measurement, LabelPlacer placer)
    {
        if (measurement.Grain is { WorstWindowCentre: { } centre } grain
            && PictureFrame.IsFinite(centre)
            && double.IsFinite(grain.WorstWindow.Value)
            && frame.Shows(frame.Map(centre)))
            DrawWorst(ink, frame, measurement, grain, frame.Map(centre), placer);
    }

    /// <summary>A ring round the place, the axis across it dashed and the grain's own direction full: the wedge between them is the slope.</summary>
    private static void DrawWorst(OverlayCanvas ink, PictureFrame frame, Measurement measurement, GrainFinding grain, SKPoint at, LabelPlacer placer)
    {
        var style = frame.Style;
        var radius = style.LabelPx * 1.5f;
        if (frame.Map(measurement.Outline) is { Length: 4 } c
            && Polygon.Direction(Polygon.Middle([c[0], c[3]]), Polygon.Middle([c[1], c[2]])) is { } along)
        {
            var across = Polygon.Normal(along);
            var towards34 = Polygon.Middle([c[2], c[3]]) - Polygon.Middle([c[0], c[1]]);
            if ((across.X * towards34.X) + (across.Y * towards34.Y) < 0)
                across = new SKPoint(-across.X, -across.Y);
            var slope = (float)Math.Clamp(grain.WorstWindow.Value, -10, 10);
            var fibre = Polygon.Direction(SKPoint.Empty, new SKPoint(along.X + (slope * across.X), along.Y + (slope * across.Y))) ?? along;
            ink.Line([Polygon.Along(at, along, -radius), Polygon.Along(at, along, radius)], PictureStyle.Axis, style.CorePx * 0.6f, dash: [3, 2]);
            ink.Line([Polygon.Along(at, fibre, -radius), Polygon.Along(at, fibre, radius)], PictureStyle.WorstInch, style.CorePx);
        }

        ink.Circle(at, radius, PictureStyle.WorstInch, style.CorePx);
        placer.Block(at, radius);
        const string text = "steepest";
        var place = placer.Place(at, ink.LabelSize(text), radius + (style.LabelPx * 0.3f), style.LabelPx * 14);
        ink.Leader(Polygon.Direction(at, new SKPoint(place.MidX, place.MidY)) is { } d ? Polygon.Along(at, d, radius) : at, place, PictureStyle.WorstInch);
        ink.Label(text, place, PictureStyle.WorstInch);
    }
}
