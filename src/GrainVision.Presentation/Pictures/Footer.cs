using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>Last line of the picture: the scale in mm and inches, and the one caution.</summary>
internal sealed class Footer
{
    private readonly PictureStyle _style;
    private readonly int _widthPx;
    private readonly ScaleBar _bar;
    private readonly TextBlock _words;

    public Footer(PictureStyle style, Measurement measurement, double magnification, int widthPx)
    {
        _style = style;
        _widthPx = widthPx;
        _bar = new ScaleBar(style, measurement.Scale.PixelsPerMm.Value * magnification, widthPx);
        _words = TextBlock.Wrap([new("Small figures: 95 % interval. ", Color: PictureStyle.QuietText), new(VerdictCautions.Short, Bold: true)], style.LabelPx, widthPx - Left - style.MarginPx, 2);
    }

    public int HeightPx => (int)MathF.Ceiling(Math.Max(_bar.HeightPx, _words.HeightPx) + (_style.MarginPx * 0.5f));

    private float Left => _bar.HeightPx > 0 ? _bar.WidthPx + (_style.MarginPx * 2) : _style.MarginPx * 0.7f;

    public void Draw(SKCanvas canvas, float top)
    {
        using var ground = new SKPaint { Color = PictureStyle.Panel };
        canvas.DrawRect(0, top, _widthPx, HeightPx, ground);
        using var rule = new SKPaint { Color = PictureStyle.Gutter, StrokeWidth = Math.Max(1, _style.CorePx * 0.6f) };
        canvas.DrawLine(_style.MarginPx * 0.7f, top, _widthPx - (_style.MarginPx * 0.7f), top, rule);
        var y = top + (_style.MarginPx * 0.25f);
        _bar.Draw(canvas, _style.MarginPx * 0.7f, y);
        _words.Draw(canvas, Left, y, PictureStyle.Text);
    }
}
