using GrainVision.Grading.Findings;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>The radial path with a tick at every counted boundary, like a rule laid along it, and the stretch that holds the worst inch.</summary>
internal static class RingOverlay
{
    private const int NumberEvery = 10;
    private const int MiddleEvery = 5;

    public static void Draw(OverlayCanvas ink, PictureFrame frame, Measurement measurement, LabelPlacer placer)
    {
        if (measurement.Rings is not { } rings)
            return;
        var style = frame.Style;
        var path = frame.Map(rings.Path);
        var boundaries = frame.Map(rings.Boundaries);
        var gap = MedianGap(boundaries, style.LabelPx);
        // A tick is at most a fifth of a ring wide, so that the boundary under it can still be checked by eye.
        var width = Math.Clamp(gap * 0.2f, 1, style.CorePx);
        var reach = TickReach(style);

        ink.Line(path, PictureStyle.Ring, Math.Min(width, style.CorePx * 0.6f));
        for (var i = 0; i + 1 < path.Length; i += Math.Max(1, path.Length / 60))
            placer.Block(path[i], reach * 1.4f);

        DrawTicks(ink, path, boundaries, reach, width);
        DrawNumbers(ink, frame, path, boundaries, reach, placer);
    }

    private static void DrawTicks(OverlayCanvas ink, SKPoint[] path, SKPoint[] boundaries, float reach, float width)
    {
        var pairs = new SKPoint[boundaries.Length * 2];
        for (var i = 0; i < boundaries.Length; i++)
        {
            var normal = NormalAt(path, boundaries, i);
            var longer = i % NumberEvery == 0 ? 2.1f : i % MiddleEvery == 0 ? 1.4f : 1;
            pairs[2 * i] = Polygon.Along(boundaries[i], normal, -reach * longer);
            pairs[(2 * i) + 1] = Polygon.Along(boundaries[i], normal, reach * longer);
            ink.Segments([pairs[2 * i], pairs[(2 * i) + 1]], PictureStyle.Ring, width);
        }
    }

    private static void DrawNumbers(OverlayCanvas ink, PictureFrame frame, SKPoint[] path, SKPoint[] boundaries, float reach, LabelPlacer placer)
    {
        SKPoint? last = null;
        for (var i = 0; i < boundaries.Length; i += NumberEvery)
        {
            var text = Figures.Whole(i);
            var size = ink.LabelSize(text);
            var normal = NormalAt(path, boundaries, i);
            var away = (reach * 2.9f) + (MathF.Abs(normal.X) * size.Width * 0.5f) + (MathF.Abs(normal.Y) * size.Height * 0.45f);
            var at = Polygon.Along(boundaries[i], normal, away);
            // Fine rings leave no room for every number: the long ticks stay, the numbers thin out.
            if ((last is { } l && SKPoint.Distance(l, at) < size.Width * 1.15f) || !frame.Shows(boundaries[i]))
                continue;
            ink.Rimmed(text, at, PictureStyle.Ring);
            placer.Block(SKRect.Create(at.X - (size.Width / 2), at.Y - (size.Height / 2), size.Width, size.Height));
            last = at;
        }
    }

    /// <summary>The stretch that governs (ANC-19 2.413), once the numbers along the path have their places.</summary>
    public static void DrawWorstInch(OverlayCanvas ink, PictureFrame frame, Measurement measurement, LabelPlacer placer)
    {
        var stretch = frame.Map(measurement.Rings?.WorstInchPath);
        if (stretch.Length < 2)
            return;
        // Two rails with closed ends: the rings between them stay bare.
        var style = frame.Style;
        var rail = TickReach(style) * 2.5f;
        var (one, other) = (Polygon.Beside(stretch, rail), Polygon.Beside(stretch, -rail));
        if (one.Length < 2 || other.Length < 2)
            return;
        ink.Line([.. one, .. other.Reverse()], PictureStyle.WorstInch, style.CorePx, closed: true, dash: [5, 1.6f]);
        const string text = "worst inch";
        var anchor = Polygon.Middle([other[(other.Length - 1) / 2], other[other.Length / 2]]);
        if (!frame.Shows(anchor))
            return;
        var place = placer.Place(anchor, ink.LabelSize(text), style.LabelPx * 0.4f, style.LabelPx * 14);
        ink.Leader(anchor, place, PictureStyle.WorstInch);
        ink.Label(text, place, PictureStyle.WorstInch);
    }

    /// <summary>Half the length of an ordinary tick.</summary>
    private static float TickReach(PictureStyle style) => style.LabelPx * 0.28f;

    private static SKPoint NormalAt(SKPoint[] path, SKPoint[] boundaries, int i)
    {
        var along = Polygon.DirectionNear(path, boundaries[i])
            ?? Polygon.Direction(boundaries[Math.Max(0, i - 1)], boundaries[Math.Min(boundaries.Length - 1, i + 1)])
            ?? new SKPoint(1, 0);
        var normal = Polygon.Normal(along);
        // Numbers stand on one and the same side: below a level path, right of an upright one.
        return normal.Y < -0.3f || (MathF.Abs(normal.Y) <= 0.3f && normal.X < 0) ? new SKPoint(-normal.X, -normal.Y) : normal;
    }

    private static float MedianGap(SKPoint[] boundaries, float without)
    {
        if (boundaries.Length < 2)
            return without;
        var gaps = new float[boundaries.Length - 1];
        for (var i = 0; i < gaps.Length; i++)
            gaps[i] = SKPoint.Distance(boundaries[i], boundaries[i + 1]);
        Array.Sort(gaps);
        return gaps[gaps.Length / 2];
    }
}
