using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>Pen of one picture: lines with a dark casing and a light core, small shapes, and labels on solid grounds. Owns native paints: dispose it.</summary>
internal sealed class OverlayCanvas : IDisposable
{
    private readonly SKPaint _casing = new() { IsAntialias = true, Style = SKPaintStyle.Stroke, StrokeJoin = SKStrokeJoin.Round, StrokeCap = SKStrokeCap.Round, Color = PictureStyle.Casing };
    private readonly SKPaint _core = new() { IsAntialias = true, Style = SKPaintStyle.Stroke, StrokeJoin = SKStrokeJoin.Round, StrokeCap = SKStrokeCap.Butt };
    private readonly SKPaint _fill = new() { IsAntialias = true };
    private readonly SKFont _label;

    public OverlayCanvas(SKCanvas canvas, PictureStyle style)
    {
        Canvas = canvas;
        Style = style;
        _label = BundledFont.Create(style.LabelPx, bold: true);
    }

    public SKCanvas Canvas { get; }

    public PictureStyle Style { get; }

    /// <summary>A line through the points. <paramref name="dash"/>: lengths of light and gap in core widths; the casing runs through, so that gaps read as dark.</summary>
    public void Line(ReadOnlySpan<SKPoint> points, SKColor color, float widthPx, bool closed = false, float[]? dash = null)
    {
        if (points.Length < 2)
            return;
        using var builder = new SKPathBuilder();
        builder.AddPoly(points, closed);
        using var path = builder.Detach();
        Stroke(path, color, widthPx, dash);
    }

    /// <summary>Strokes a path, casing first.</summary>
    public void Stroke(SKPath path, SKColor color, float widthPx, float[]? dash = null)
    {
        _casing.StrokeWidth = CasedWidth(widthPx);
        Canvas.DrawPath(path, _casing);
        _core.Color = color;
        _core.StrokeWidth = widthPx;
        using var effect = dash is null ? null : SKPathEffect.CreateDash([.. dash.Select(d => d * widthPx)], 0);
        _core.PathEffect = effect;
        Canvas.DrawPath(path, _core);
        _core.PathEffect = null;
    }

    /// <summary>Many separate segments in one go: points in pairs.</summary>
    public void Segments(SKPoint[] pairs, SKColor color, float widthPx)
    {
        if (pairs.Length < 2)
            return;
        _casing.StrokeWidth = CasedWidth(widthPx);
        Canvas.DrawPoints(SKPointMode.Lines, pairs, _casing);
        _core.Color = color;
        _core.StrokeWidth = widthPx;
        Canvas.DrawPoints(SKPointMode.Lines, pairs, _core);
    }

    public void Circle(SKPoint centre, float radiusPx, SKColor color, float widthPx)
    {
        _casing.StrokeWidth = CasedWidth(widthPx);
        Canvas.DrawCircle(centre, radiusPx, _casing);
        _core.Color = color;
        _core.StrokeWidth = widthPx;
        Canvas.DrawCircle(centre, radiusPx, _core);
    }

    /// <summary>A filled triangle with its tip at <paramref name="tip"/>, pointing along the unit vector.</summary>
    public void ArrowHead(SKPoint tip, SKPoint along, float sizePx, SKColor color)
    {
        var back = new SKPoint(tip.X - (along.X * sizePx), tip.Y - (along.Y * sizePx));
        var side = new SKPoint(-along.Y * sizePx * 0.5f, along.X * sizePx * 0.5f);
        using var builder = new SKPathBuilder();
        builder.AddPoly([tip, back + side, back - side], true);
        using var path = builder.Detach();
        _casing.StrokeWidth = Style.CorePx * 1.6f;
        Canvas.DrawPath(path, _casing);
        _fill.Color = color;
        Canvas.DrawPath(path, _fill);
    }

    public SKSize LabelSize(string text) => new(_label.MeasureText(text) + (Style.LabelPx * 0.6f), Style.LabelPx * 1.3f);

    /// <summary>Dark words on a solid ground of the colour of what they name, cased.</summary>
    public void Label(string text, SKRect at, SKColor ground, bool round = false)
    {
        var radius = round ? at.Height / 2 : at.Height / 6;
        _casing.StrokeWidth = Style.CorePx * 1.6f;
        Canvas.DrawRoundRect(at, radius, radius, _casing);
        _fill.Color = ground;
        Canvas.DrawRoundRect(at, radius, radius, _fill);
        _fill.Color = PictureStyle.Casing;
        Canvas.DrawText(text, at.MidX, at.MidY + (Style.LabelPx * 0.36f), SKTextAlign.Center, _label, _fill);
    }

    /// <summary>A label in the top left corner of a stage; gives the place it takes.</summary>
    public SKRect Caption(string text, SKRect stage)
    {
        var size = LabelSize(text);
        var at = SKRect.Create(stage.Left + (Style.LabelPx * 0.3f), stage.Top + (Style.LabelPx * 0.3f), size.Width, size.Height);
        Label(text, at, PictureStyle.QuietText);
        return at;
    }

    /// <summary>Words without a ground: light with a dark rim, for small numbers that must not hide the wood.</summary>
    public void Rimmed(string text, SKPoint centre, SKColor color)
    {
        var baseline = centre.Y + (Style.LabelPx * 0.36f);
        _casing.StrokeWidth = Style.LabelPx * 0.28f;
        Canvas.DrawText(text, centre.X, baseline, SKTextAlign.Center, _label, _casing);
        _fill.Color = color;
        Canvas.DrawText(text, centre.X, baseline, SKTextAlign.Center, _label, _fill);
    }

    /// <summary>Thin line from a label to what it names.</summary>
    public void Leader(SKPoint from, SKRect label, SKColor color)
    {
        var to = new SKPoint(Math.Clamp(from.X, label.Left, label.Right), Math.Clamp(from.Y, label.Top, label.Bottom));
        if (SKPoint.Distance(from, to) > Style.CorePx * 2)
            Line([from, to], color, Style.CorePx * 0.5f);
    }

    public void Dispose()
    {
        _casing.Dispose();
        _core.Dispose();
        _fill.Dispose();
        _label.Dispose();
    }

    /// <summary>The casing adds 0.7 core widths on each side, at least a pixel.</summary>
    private static float CasedWidth(float corePx) => corePx + Math.Max(2, corePx * 1.4f);
}
