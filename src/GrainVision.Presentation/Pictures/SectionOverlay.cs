using GrainVision.Grading.Findings;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>The outline with its corner numbers, a face's long axis, and where the scale was read.</summary>
internal static class SectionOverlay
{
    public static readonly float[] AxisDash = [7, 3, 1.5f, 3];

    public static void DrawOutline(OverlayCanvas ink, PictureFrame frame, Measurement measurement)
    {
        var corners = frame.Map(measurement.Outline);
        ink.Line(corners, PictureStyle.Outline, frame.Style.CorePx, closed: true);
    }

    /// <summary>Corner 1 goes first: places are told from it. The others follow clockwise or not, as the outline runs, and need no number.</summary>
    public static void DrawCorner(OverlayCanvas ink, PictureFrame frame, Measurement measurement, LabelPlacer placer)
    {
        const string text = "corner 1";
        if (measurement.Outline.Count == 0 || !PictureFrame.IsFinite(measurement.Outline[0]))
            return;
        // A corner outside the whole photo has its label at the edge, on the side where it lies.
        var corner = frame.Map(measurement.Outline[0]);
        if (frame.Whole || frame.Shows(corner))
            ink.Label(text, placer.Place(corner, ink.LabelSize(text), frame.Style.LabelPx * 0.2f, frame.Style.LabelPx * 6), PictureStyle.Outline);
    }

    /// <summary>The long axis of a face, half way between its long edges.</summary>
    public static void DrawAxis(OverlayCanvas ink, PictureFrame frame, Measurement measurement)
    {
        if (measurement.View != View.Face || frame.Map(measurement.Outline) is not { Length: 4 } c)
            return;
        ink.Line([Polygon.Middle([c[0], c[3]]), Polygon.Middle([c[1], c[2]])], PictureStyle.Axis, frame.Style.CorePx * 0.7f, dash: AxisDash);
    }

    public static void DrawScaleMarks(OverlayCanvas ink, PictureFrame frame, Measurement measurement)
    {
        var marks = frame.Map(measurement.Scale.Marks);
        var core = frame.Style.CorePx;
        switch (measurement.Scale.Kind)
        {
            case ScaleKind.Points:
                ink.Line(marks, PictureStyle.ScaleMark, core * 0.7f);
                foreach (var p in marks)
                    ink.Circle(p, frame.Style.LabelPx * 0.3f, PictureStyle.ScaleMark, core * 0.8f);
                break;
            case ScaleKind.Rule:
                // Small upright strokes: there may be hundreds of graduations.
                var reach = Math.Clamp(MedianGap(marks) * 0.5f, core, frame.Style.LabelPx * 0.3f);
                ink.Segments([.. marks.SelectMany(p => new[] { new SKPoint(p.X - reach, p.Y - reach), new SKPoint(p.X + reach, p.Y + reach) })], PictureStyle.ScaleMark, Math.Clamp(reach * 0.4f, 1, core * 0.7f));
                break;
            default:
                var half = frame.Style.LabelPx * 0.22f;
                foreach (var p in marks)
                    ink.Line([new(p.X - half, p.Y - half), new(p.X + half, p.Y - half), new(p.X + half, p.Y + half), new(p.X - half, p.Y + half)], PictureStyle.ScaleMark, core * 0.7f, closed: true);
                break;
        }
    }

    private static float MedianGap(SKPoint[] marks)
    {
        if (marks.Length < 2)
            return float.MaxValue;
        var gaps = new float[marks.Length - 1];
        for (var i = 0; i < gaps.Length; i++)
            gaps[i] = SKPoint.Distance(marks[i], marks[i + 1]);
        Array.Sort(gaps);
        return gaps[gaps.Length / 2];
    }
}
