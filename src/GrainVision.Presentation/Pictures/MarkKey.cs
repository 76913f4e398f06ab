using GrainVision.Grading.Findings;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>What each number on the wood was taken for: as many as there is room for, the first ones first; the page and the reports hold them all.</summary>
internal sealed class MarkKey
{
    private const int MostLines = 4;

    private readonly PictureStyle _style;
    private readonly int _widthPx;
    private readonly List<(int Number, TextBlock Words, SKPoint At)> _items = [];
    private readonly TextBlock? _rest;
    private readonly SKPoint _restAt;
    private readonly int _lines;

    public MarkKey(PictureStyle style, Measurement measurement, int widthPx, float roomPx)
    {
        _style = style;
        _widthPx = widthPx;
        var lines = (int)Math.Clamp((roomPx - (style.MarginPx * 0.4f)) / LinePx, 0, MostLines);
        if (lines == 0 || measurement.Blemishes.Count == 0)
            return;
        var left = style.MarginPx * 0.7f;
        var at = new SKPoint(left, 0);
        for (var i = 0; i < measurement.Blemishes.Count; i++)
        {
            var blemish = measurement.Blemishes[i];
            var words = TextBlock.Wrap([new(TradeWords.BriefBlemish(blemish))], style.LabelPx, widthPx / 2f, 1);
            var width = NumberPx(i + 1) + words.WidthPx + style.LabelPx;
            if (at.X > left && at.X + width > widthPx - left)
                at = new SKPoint(left, at.Y + LinePx);
            // The last line keeps room for "and 12 more".
            var last = i == measurement.Blemishes.Count - 1;
            if (at.Y >= lines * LinePx || (!last && at.Y >= (lines - 1) * LinePx && at.X + width > widthPx - left - (style.LabelPx * 6)))
            {
                var more = measurement.Blemishes.Count - i;
                _rest = TextBlock.Wrap([new($"and {Figures.Whole(more)} more")], style.LabelPx, style.LabelPx * 8, 1);
                _restAt = at.Y >= lines * LinePx ? new SKPoint(widthPx - left - _rest.WidthPx, (lines - 1) * LinePx) : at;
                break;
            }

            _items.Add((i + 1, words, at));
            at = new SKPoint(at.X + width, at.Y);
        }

        _lines = Math.Min(lines, 1 + (int)Math.Round(at.Y / LinePx));
    }

    public int HeightPx => _lines == 0 ? 0 : (int)MathF.Ceiling((_lines * LinePx) + (_style.MarginPx * 0.4f));

    private float LinePx => _style.LabelPx * 1.5f;

    /// <summary>What a number in its round takes with the gap after it: more for two digits.</summary>
    private float NumberPx(int number) => _style.LabelPx * (number < 10 ? 1.75f : 2.5f);

    public void Draw(OverlayCanvas ink, float top)
    {
        if (_lines == 0)
            return;
        using var ground = new SKPaint { Color = PictureStyle.Panel };
        ink.Canvas.DrawRect(0, top, _widthPx, HeightPx, ground);
        foreach (var (number, words, at) in _items)
        {
            var text = Figures.Whole(number);
            var size = ink.LabelSize(text);
            ink.Label(text, SKRect.Create(at.X, top + at.Y, Math.Max(size.Width, size.Height), size.Height), PictureStyle.Blemish, round: true);
            words.Draw(ink.Canvas, at.X + NumberPx(number), top + at.Y, PictureStyle.Text);
        }

        _rest?.Draw(ink.Canvas, _restAt.X, top + _restAt.Y, PictureStyle.QuietText);
    }
}
