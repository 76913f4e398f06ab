using GrainVision.Grading.Findings;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>How each kind of blemish is hatched: told apart without colour.</summary>
/// <param name="AnglesDeg">Directions of its strokes; none for an empty ground.</param>
/// <param name="Spacing">Between strokes, in label heights.</param>
/// <param name="Dots">Dots instead of strokes.</param>
internal sealed record Hatch(float[] AnglesDeg, float Spacing, bool Dots = false)
{
    public static Hatch From(BlemishKind kind) => kind switch
    {
        BlemishKind.Knot => new([45], 0.24f),
        BlemishKind.LooseKnot => new([45, 135], 0.24f),
        BlemishKind.SpikeKnot => new([135], 0.24f),
        BlemishKind.PinKnotCluster => new([], 0.3f, Dots: true),
        BlemishKind.PitchPocket => new([0], 0.24f),
        BlemishKind.Check => new([90], 0.24f),
        BlemishKind.ShakeOrSplit => new([0, 90], 0.3f),
        BlemishKind.BoreHole => new([0, 90], 0.14f),
        BlemishKind.DentOrGouge => new([45], 0.5f),
        BlemishKind.Stain => new([], 0.55f, Dots: true),
        BlemishKind.Pith => new([90], 0.5f),
        _ => new([], 1),
    };

    /// <summary>Fills a shape of the canvas with this hatch, light on dark.</summary>
    public void Fill(OverlayCanvas ink, SKPath shape)
    {
        var canvas = ink.Canvas;
        var style = ink.Style;
        var bounds = shape.Bounds;
        var step = Math.Max(3, Spacing * style.LabelPx);
        canvas.Save();
        canvas.ClipPath(shape, SKClipOperation.Intersect, true);
        using var ground = new SKPaint { Color = PictureStyle.Casing.WithAlpha(0xB4) };
        canvas.DrawPaint(ground);
        using var paint = new SKPaint { IsAntialias = true, Color = PictureStyle.Blemish, StrokeWidth = Math.Max(1, style.CorePx * 0.6f) };
        if (Dots)
            FillDots(canvas, bounds, step, paint);
        foreach (var angle in AnglesDeg)
            FillStrokes(canvas, bounds, step, angle, paint);
        canvas.Restore();
    }

    private static void FillDots(SKCanvas canvas, SKRect bounds, float step, SKPaint paint)
    {
        for (var y = MathF.Floor(bounds.Top / step) * step; y <= bounds.Bottom; y += step)
        {
            for (var x = MathF.Floor(bounds.Left / step) * step; x <= bounds.Right; x += step)
                canvas.DrawCircle(x, y, paint.StrokeWidth * 1.1f, paint);
        }
    }

    private static void FillStrokes(SKCanvas canvas, SKRect bounds, float step, float angleDeg, SKPaint paint)
    {
        var along = Polygon.Turned(new SKPoint(1, 0), angleDeg * Math.PI / 180);
        var across = Polygon.Normal(along);
        var centre = new SKPoint(bounds.MidX, bounds.MidY);
        var half = SKPoint.Distance(new SKPoint(bounds.Left, bounds.Top), new SKPoint(bounds.Right, bounds.Bottom)) / 2;
        for (var offset = -MathF.Floor(half / step) * step; offset <= half; offset += step)
        {
            var on = Polygon.Along(centre, across, offset);
            canvas.DrawLine(Polygon.Along(on, along, -half), Polygon.Along(on, along, half), paint);
        }
    }
}
