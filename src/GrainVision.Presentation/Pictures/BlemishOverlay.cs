using GrainVision.Grading.Findings;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>
/// Blemishes: the rim as found, a collar hatched by kind outside it, and a number. The blemish itself stays bare, so that
/// the inspector sees what was taken for one.
/// </summary>
internal static class BlemishOverlay
{
    /// <summary>40: beyond it numbers would hide the wood; the outlines are all drawn, the numbers stop.</summary>
    public const int NumberedAtMost = 40;

    /// <summary>8: more names than this would hide the wood.</summary>
    private const int NamedAtMost = 8;

    /// <summary>Keeps later lines off the blemishes themselves until the canvas is restored.</summary>
    public static void KeepClear(OverlayCanvas ink, PictureFrame frame, Measurement measurement)
    {
        foreach (var blemish in measurement.Blemishes.Take(NumberedAtMost))
        {
            var rim = Rim(frame, blemish);
            if (rim.Length < 3 || !Bounds(rim).IntersectsWith(frame.Stage))
                continue;
            using var shape = Shape(rim);
            ink.Canvas.ClipPath(shape, SKClipOperation.Difference, antialias: false);
        }
    }

    /// <summary>Keeps labels of other things off the marks.</summary>
    public static void Block(PictureFrame frame, Measurement measurement, LabelPlacer placer)
    {
        foreach (var rim in measurement.Blemishes.Take(NumberedAtMost).Select(b => Rim(frame, b)).Where(r => r.Length >= 3))
            placer.Block(SKRect.Inflate(Bounds(rim), frame.Style.LabelPx * 0.6f, frame.Style.LabelPx * 0.6f));
    }

    /// <param name="ink">Pen.</param>
    /// <param name="frame">Where.</param>
    /// <param name="measurement">Of what.</param>
    /// <param name="placer">Finds places.</param>
    /// <param name="named">Each number with what it was taken for: where the picture has no room for a key.</param>
    public static void Draw(OverlayCanvas ink, PictureFrame frame, Measurement measurement, LabelPlacer placer, bool named)
    {
        var style = frame.Style;
        var rims = measurement.Blemishes.Select(b => Rim(frame, b)).ToArray();
        for (var i = 0; i < rims.Length; i++)
        {
            if (rims[i].Length < 3 || !Bounds(rims[i]).IntersectsWith(frame.Stage))
                continue;
            DrawOne(ink, style, rims[i], Hatch.From(measurement.Blemishes[i].Kind));
        }

        for (var i = 0; i < Math.Min(rims.Length, NumberedAtMost); i++)
        {
            if (rims[i].Length < 3 || !frame.Shows(frame.Map(measurement.Blemishes[i].Centre)))
                continue;
            var text = Figures.Whole(i + 1) + (named && rims.Length <= NamedAtMost ? " " + TradeWords.BriefBlemish(measurement.Blemishes[i]) : "");
            var size = ink.LabelSize(text);
            var box = Bounds(rims[i]);
            var anchor = new SKPoint(box.MidX, box.MidY);
            var reach = Math.Min(box.Width, box.Height) / 2;
            var place = placer.Place(anchor, new SKSize(Math.Max(size.Width, size.Height), size.Height), reach + (style.LabelPx * 0.8f), style.LabelPx * 3);
            ink.Leader(Nearest(rims[i], place), place, PictureStyle.Blemish);
            ink.Label(text, place, PictureStyle.Blemish, round: true);
        }
    }

    private static void DrawOne(OverlayCanvas ink, PictureStyle style, SKPoint[] rim, Hatch hatch)
    {
        using var shape = Shape(rim);
        using var stroke = new SKPaint { Style = SKPaintStyle.Stroke, StrokeWidth = style.LabelPx * 1.3f, StrokeJoin = SKStrokeJoin.Round };
        using var band = stroke.GetFillPath(shape);
        using var collar = band?.Op(shape, SKPathOp.Difference);
        if (collar is not null && hatch is not { Dots: false, AnglesDeg.Length: 0 })
            hatch.Fill(ink, collar);

        // Only the outer half of the rim's stroke: a check is narrower than the line that marks it.
        ink.Canvas.Save();
        ink.Canvas.ClipPath(shape, SKClipOperation.Difference, antialias: true);
        ink.Stroke(shape, PictureStyle.Blemish, style.CorePx * 1.6f, hatch.AnglesDeg.Length == 0 ? [1.8f, 1.2f] : null);
        ink.Canvas.Restore();
    }

    private static SKPath Shape(SKPoint[] rim)
    {
        using var builder = new SKPathBuilder();
        builder.AddPoly(rim, true);
        return builder.Detach();
    }

    /// <summary>The rim on the canvas; a blemish without one, or one too small to see, gets a ring of at least a third of a label.</summary>
    private static SKPoint[] Rim(PictureFrame frame, BlemishFinding blemish)
    {
        var rim = frame.Map(blemish.Outline);
        var least = frame.Style.LabelPx * 0.33f;
        if (rim.Length >= 3 && Bounds(rim) is var box && Math.Max(box.Width, box.Height) >= least)
            return rim;
        if (!PictureFrame.IsFinite(blemish.Centre))
            return [];
        var centre = frame.Map(blemish.Centre);
        return [.. Enumerable.Range(0, 16).Select(i => Polygon.Along(centre, Polygon.Turned(new SKPoint(1, 0), i * Math.Tau / 16), least / 2))];
    }

    private static SKRect Bounds(SKPoint[] points) => new(points.Min(p => p.X), points.Min(p => p.Y), points.Max(p => p.X), points.Max(p => p.Y));

    private static SKPoint Nearest(SKPoint[] rim, SKRect place) => rim.MinBy(p => SKPoint.Distance(p, new SKPoint(place.MidX, place.MidY)));
}
