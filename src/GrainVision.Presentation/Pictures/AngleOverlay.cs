using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>The ring tangent drawn against the wide face (side 1-2), and where the pith is.</summary>
internal static class AngleOverlay
{
    public static readonly float[] TangentDash = [9, 3];

    public static void Draw(OverlayCanvas ink, PictureFrame frame, Measurement measurement, LabelPlacer placer)
    {
        if (measurement.RingAngle is not { } angle || frame.Map(measurement.Outline) is not { Length: 4 } corners)
            return;
        if (!frame.Whole && !frame.Shows(Polygon.Middle(corners)))
            return;
        DrawTangent(ink, frame, measurement, angle, corners, placer);
        if (angle.Pith is { } pith && double.IsFinite(pith.X) && double.IsFinite(pith.Y))
            DrawPith(ink, frame, pith, Polygon.Middle(corners), placer);
    }

    /// <summary>
    /// The finding holds the angle without its sense of turning; that is read from the path (rings lie across it) or from the pith.
    /// Where neither tells it nothing is drawn, rather than a line that leans the wrong way.
    /// </summary>
    private static void DrawTangent(OverlayCanvas ink, PictureFrame frame, Measurement measurement, RingAngleFinding angle, SKPoint[] corners, LabelPlacer placer)
    {
        var middle = Polygon.Middle(corners);
        var degrees = angle.Degrees.Value;
        if (!double.IsFinite(degrees)
            || Polygon.Direction(Polygon.Middle([corners[0], corners[3]]), Polygon.Middle([corners[1], corners[2]])) is not { } face
            || TangentLike(frame, measurement, angle, middle, face) is not { } turned)
            return;
        var tangent = Polygon.Turned(face, turned);

        // Through the middle, out to the section's rim both ways.
        var (ahead, behind) = (ToRim(corners, middle, tangent), ToRim(corners, middle, new SKPoint(-tangent.X, -tangent.Y)));
        if (ahead is null || behind is null)
            return;
        var core = frame.Style.CorePx;
        ink.Line([Polygon.Along(middle, tangent, -behind.Value), Polygon.Along(middle, tangent, ahead.Value)], PictureStyle.Tangent, core * 0.8f, dash: TangentDash);

        // The arc stands where the tangent meets side 1-2, clear of the path; a flat angle that misses the side gets it in the middle.
        var (towards, foot) = Foot(corners, middle, tangent);
        var radius = Math.Min(frame.Style.LabelPx * (foot is null ? 5 : 1.8f), 0.45f * Math.Min(SKPoint.Distance(corners[1], corners[2]), SKPoint.Distance(corners[0], corners[1])));
        var side = foot is null ? face : Polygon.Direction(corners[0], corners[1]) ?? face;
        var up = foot is null ? tangent : new SKPoint(-towards.X, -towards.Y);
        var vertex = foot ?? middle;
        if ((side.X * up.X) + (side.Y * up.Y) < 0)
            side = new SKPoint(-side.X, -side.Y);
        if (foot is null)
            ink.Line([Polygon.Along(middle, side, -radius * 0.6f), Polygon.Along(middle, side, radius * 1.7f)], PictureStyle.Tangent, core * 0.6f, dash: [2, 2]);
        ink.Line(Arc(vertex, side, up, radius), PictureStyle.Tangent, core);

        var text = "ring angle, " + TradeWords.Cut(angle.Cut);
        var half = side + up;
        var anchor = Polygon.Direction(SKPoint.Empty, half) is { } d ? Polygon.Along(vertex, d, radius) : vertex;
        var place = placer.Place(anchor, ink.LabelSize(text), frame.Style.LabelPx * 0.3f, frame.Style.LabelPx * 6);
        ink.Leader(anchor, place, PictureStyle.Tangent);
        ink.Label(text, place, PictureStyle.Tangent);
    }

    private static void DrawPith(OverlayCanvas ink, PictureFrame frame, PithFinding pith, SKPoint middle, LabelPlacer placer)
    {
        var style = frame.Style;
        var at = frame.Map(new PointPx(pith.X, pith.Y));
        var text = pith.Boxed ? "pith inside" : $"pith {Figures.Best(pith.DistanceMm)} mm";
        SKPoint anchor;
        if (frame.Stage.Contains(at))
        {
            var radius = style.LabelPx * 0.55f;
            ink.Segments([new(at.X - (2 * radius), at.Y), new(at.X + (2 * radius), at.Y), new(at.X, at.Y - (2 * radius)), new(at.X, at.Y + (2 * radius))], PictureStyle.Tangent, style.CorePx * 0.8f);
            ink.Circle(at, radius, PictureStyle.Tangent, style.CorePx);
            placer.Block(at, radius * 2);
            anchor = at;
        }
        else
        {
            if (Polygon.Direction(middle, at) is not { } d || EdgeOfStage(frame, middle, d) is not { } tip)
                return;
            var size = style.LabelPx;
            ink.Line([Polygon.Along(tip, d, -size * 2.4f), Polygon.Along(tip, d, -size * 0.6f)], PictureStyle.Tangent, style.CorePx * 1.3f);
            ink.ArrowHead(tip, d, size, PictureStyle.Tangent);
            anchor = Polygon.Along(tip, d, -size);
            placer.Block(anchor, size * 0.8f);
        }

        var place = placer.Place(anchor, ink.LabelSize(text), style.LabelPx * 0.7f, style.LabelPx * 8);
        ink.Leader(anchor, place, PictureStyle.Tangent);
        ink.Label(text, place, PictureStyle.Tangent);
    }

    /// <summary>
    /// The measured angle with a sign, radians on the canvas: of the tangents that path and pith suggest, the one nearest to it.
    /// Null where none comes within 25° of either sense: then the sense is not known.
    /// </summary>
    private static double? TangentLike(PictureFrame frame, Measurement measurement, RingAngleFinding angle, SKPoint middle, SKPoint face)
    {
        var measured = Units.DegToRad(angle.Degrees.Value);
        var least = Units.DegToRad(25);
        double? best = null;
        SKPoint?[] radials =
        [
            Polygon.DirectionNear(frame.Map(measurement.Rings?.Path), middle),
            angle.Pith is { } p && PictureFrame.IsFinite(new PointPx(p.X, p.Y)) ? Polygon.Direction(middle, frame.Map(new PointPx(p.X, p.Y))) : null,
        ];
        foreach (var radial in radials.OfType<SKPoint>())
        {
            var across = Polygon.Normal(radial);
            // Between -90° and 90°: a tangent has no head.
            var suggested = Math.Atan2((face.X * across.Y) - (face.Y * across.X), (face.X * across.X) + (face.Y * across.Y));
            suggested -= Math.PI * Math.Round(suggested / Math.PI);
            var off = Math.Abs(Math.Abs(suggested) - measured);
            if (off < least)
                (least, best) = (off, suggested < 0 ? -measured : measured);
        }

        return best;
    }

    private static (SKPoint Towards, SKPoint? Foot) Foot(SKPoint[] corners, SKPoint middle, SKPoint tangent)
    {
        foreach (var d in new[] { tangent, new SKPoint(-tangent.X, -tangent.Y) })
        {
            if (Polygon.Meets(middle, d, corners[0], corners[1]) is { } t)
                return (d, Polygon.Along(middle, d, t));
        }

        return (tangent, null);
    }

    private static float? ToRim(SKPoint[] corners, SKPoint from, SKPoint direction)
    {
        float? least = null;
        for (var i = 0; i < corners.Length; i++)
        {
            if (Polygon.Meets(from, direction, corners[i], corners[(i + 1) % corners.Length]) is { } t && !(t > least))
                least = t;
        }

        return least;
    }

    private static SKPoint? EdgeOfStage(PictureFrame frame, SKPoint from, SKPoint direction)
    {
        var inner = SKRect.Inflate(frame.Stage, -frame.Style.LabelPx * 0.4f, -frame.Style.LabelPx * 0.4f);
        SKPoint[] rim = [new(inner.Left, inner.Top), new(inner.Right, inner.Top), new(inner.Right, inner.Bottom), new(inner.Left, inner.Bottom)];
        return ToRim(rim, from, direction) is { } t ? Polygon.Along(from, direction, t) : null;
    }

    private static SKPoint[] Arc(SKPoint vertex, SKPoint from, SKPoint to, float radius)
    {
        const int steps = 24;
        var sweep = Math.Atan2((from.X * to.Y) - (from.Y * to.X), (from.X * to.X) + (from.Y * to.Y));
        return [.. Enumerable.Range(0, steps + 1).Select(i => Polygon.Along(vertex, Polygon.Turned(from, sweep * i / steps), radius))];
    }
}
