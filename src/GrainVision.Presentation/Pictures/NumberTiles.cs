using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>Five numbers under the photo, each with the line that shows it on the wood and its 95 % interval.</summary>
internal sealed class NumberTiles
{
    private const string NotTold = "not told";

    private readonly PictureStyle _style;
    private readonly int _widthPx;
    private readonly IReadOnlyList<Tile> _tiles;

    public NumberTiles(PictureStyle style, Measurement measurement, int widthPx)
    {
        _style = style;
        _widthPx = widthPx;
        _tiles = [.. (measurement.View == View.End ? OfEnd(measurement) : OfFace(measurement)), Marks(measurement)];
    }

    public int HeightPx => (int)MathF.Ceiling((((2 * _style.LabelPx) + _style.NumberPx) * TextBlock.LineHeight) + (_style.MarginPx * 0.8f));

    public void Draw(OverlayCanvas ink, float top)
    {
        using var ground = new SKPaint { Color = PictureStyle.Panel };
        ink.Canvas.DrawRect(0, top, _widthPx, HeightPx, ground);
        var width = _widthPx / (float)_tiles.Count;
        for (var i = 0; i < _tiles.Count; i++)
            Draw(ink, _tiles[i], SKRect.Create(i * width, top + (_style.MarginPx * 0.4f), width, HeightPx));
        using var rule = new SKPaint { Color = PictureStyle.Gutter, StrokeWidth = Math.Max(1, _style.CorePx * 0.6f) };
        for (var i = 1; i < _tiles.Count; i++)
            ink.Canvas.DrawLine(i * width, top + (_style.MarginPx * 0.6f), i * width, top + HeightPx - (_style.MarginPx * 0.6f), rule);
    }

    private void Draw(OverlayCanvas ink, Tile tile, SKRect cell)
    {
        var (left, room) = (cell.Left + (_style.MarginPx * 0.7f), cell.Width - (_style.MarginPx * 1.2f));
        Line(ink.Canvas, tile.Label, left, cell.Top, _style.LabelPx, room, bold: false, PictureStyle.QuietText);
        var y = cell.Top + (_style.LabelPx * TextBlock.LineHeight);
        var at = left;
        if (tile.Sample is { } sample)
        {
            var box = SKRect.Create(left, y + (_style.NumberPx * 0.2f), _style.NumberPx * 1.1f, _style.NumberPx * 0.95f);
            using var wood = new SKPaint { Color = PictureStyle.SampleWood };
            ink.Canvas.DrawRect(box, wood);
            ink.Canvas.Save();
            ink.Canvas.ClipRect(box);
            sample(ink, box);
            ink.Canvas.Restore();
            at = box.Right + (_style.NumberPx * 0.25f);
        }

        Line(ink.Canvas, tile.Value, at, y, _style.NumberPx, left + room - at, bold: true, tile.Value == NotTold ? PictureStyle.QuietText : PictureStyle.Text);
        Line(ink.Canvas, tile.Interval, left, y + (_style.NumberPx * TextBlock.LineHeight), _style.LabelPx, room, bold: false, PictureStyle.Text);
    }

    /// <summary>Words too long for their tile get smaller, down to six tenths, and end in "…" beyond that.</summary>
    private static void Line(SKCanvas canvas, string words, float left, float top, float sizePx, float room, bool bold, SKColor color)
    {
        using var font = BundledFont.Create(sizePx, bold);
        var fitting = Math.Clamp(0.98f * room / Math.Max(1, font.MeasureText(TextBlock.Clean(words))), 0.6f, 1);
        TextBlock.Wrap([new(words, bold)], sizePx * fitting, room, 1).Draw(canvas, left, top + (sizePx * (1 - fitting)), color);
    }

    private IEnumerable<Tile> OfEnd(Measurement m)
    {
        var core = _style.CorePx;
        yield return Of("Rings per inch", m.Rings?.PerInch, "", 1, Ticks);
        yield return Of("Worst inch", m.Rings?.WorstInch, "", 1, m.Rings?.WorstInchPath is { Count: > 1 } ? Rails : null);
        yield return Of("Ring angle", m.RingAngle?.Degrees, "°", 0, (ink, box) => ink.Line([new(box.Left, box.Bottom), new(box.Right, box.Top)], PictureStyle.Tangent, core * 0.8f, dash: AngleOverlay.TangentDash));
        yield return m.Size is { } size
            ? new Tile("Section", $"{Figures.Number(size.SecondSideMm.Value, 0)} × {Figures.Number(size.FirstSideMm.Value, 0)}", "mm", null)
            : new Tile("Section", NotTold, "", null);
    }

    private IEnumerable<Tile> OfFace(Measurement m)
    {
        var core = _style.CorePx;
        yield return Of("Slope of grain", m.Grain?.Slope, (ink, box) => ink.Line([new(box.Left, box.Top + (box.Height * 0.6f)), new(box.Right, box.Top + (box.Height * 0.4f))], PictureStyle.Grain, core * 0.8f));
        yield return Of("Steepest", m.Grain?.WorstWindow, (ink, box) => ink.Circle(new(box.MidX, box.MidY), box.Height * 0.3f, PictureStyle.WorstInch, core));
        yield return Of("Outer eighths", m.Grain?.OuterEighths, null);
        yield return m.Size is { } size ? Of("Face width", size.SecondSideMm, " mm", 0, null) : new Tile("Face width", NotTold, "", null);
    }

    private static Tile Marks(Measurement m) => m.CannotSay.Any(c => c.What == CannotSayTopic.Blemishes)
        ? new Tile("Marks", NotTold, "look by hand", null)
        : new Tile("Marks", m.Blemishes.Count == 0 ? "none" : Figures.Whole(m.Blemishes.Count), m.Blemishes.Count == 0 ? "seen here" : m.Blemishes.Count > BlemishOverlay.NumberedAtMost ? $"first {Figures.Whole(BlemishOverlay.NumberedAtMost)} numbered" : "numbered above", null);

    private static Tile Of(string label, Measured? measured, string unit, int mostDecimals, Action<OverlayCanvas, SKRect>? sample) => measured is { } m && double.IsFinite(m.Value)
        ? new Tile(label, Figures.Best(m, mostDecimals) + unit, Figures.Ends(m, unit, mostDecimals), sample)
        : new Tile(label, NotTold, "", null);

    private static Tile Of(string label, Measured? slope, Action<OverlayCanvas, SKRect>? sample)
    {
        if (slope is not { } s || !double.IsFinite(s.Value))
            return new Tile(label, NotTold, "", null);
        var (value, interval) = SlopeWords.Parts(s);
        return new Tile(label, value, interval, sample);
    }

    private void Ticks(OverlayCanvas ink, SKRect box)
    {
        ink.Line([new(box.Left, box.MidY), new(box.Right, box.MidY)], PictureStyle.Ring, _style.CorePx * 0.5f);
        for (var i = 1; i <= 3; i++)
        {
            var x = box.Left + (box.Width * i / 4);
            ink.Segments([new(x, box.MidY - (box.Height * 0.25f)), new(x, box.MidY + (box.Height * 0.25f))], PictureStyle.Ring, _style.CorePx * 0.8f);
        }
    }

    private void Rails(OverlayCanvas ink, SKRect box)
    {
        var inner = SKRect.Inflate(box, -box.Width * 0.1f, -box.Height * 0.22f);
        ink.Line([new(inner.Left, inner.Top), new(inner.Right, inner.Top), new(inner.Right, inner.Bottom), new(inner.Left, inner.Bottom)], PictureStyle.WorstInch, _style.CorePx * 0.8f, closed: true, dash: [5, 1.6f]);
    }

    private sealed record Tile(string Label, string Value, string Interval, Action<OverlayCanvas, SKRect>? Sample);
}
