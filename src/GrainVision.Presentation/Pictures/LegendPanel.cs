using GrainVision.Grading.Findings;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>What each line on the photo means: a sample of the line and a few words, only for what is drawn.</summary>
internal sealed class LegendPanel
{
    private readonly PictureStyle _style;
    private readonly List<(Action<OverlayCanvas, SKRect> Sample, TextBlock Words, SKPoint At)> _items = [];

    public LegendPanel(PictureStyle style, Measurement measurement, float widthPx)
    {
        _style = style;
        SKPoint next = new(0, 0);
        foreach (var (sample, words) in Entries(measurement))
        {
            var block = TextBlock.Wrap([new(words)], SizePx, widthPx - SampleWidth - style.BodyPx, 2);
            var width = SampleWidth + (style.BodyPx * 0.4f) + block.WidthPx;
            if (next.X > 0 && next.X + width > widthPx)
                next = new(0, HeightPx);
            _items.Add((sample, block, next));
            HeightPx = Math.Max(HeightPx, next.Y + block.HeightPx);
            next = new(next.X + width + (style.BodyPx * 1.1f), next.Y);
        }
    }

    public float HeightPx { get; private set; }

    private float SampleWidth => _style.BodyPx * 1.9f;

    private float SizePx => _style.BodyPx * 0.95f;

    public void Draw(OverlayCanvas ink, float left, float top)
    {
        using var wood = new SKPaint { Color = new SKColor(0xB9, 0x9A, 0x6B) };
        foreach (var (sample, words, at) in _items)
        {
            var box = SKRect.Create(left + at.X, top + at.Y + (SizePx * 0.1f), SampleWidth, SizePx * 1.05f);
            // The sample lies on a wood-coloured ground, so that casing and core look as they do on the photo.
            ink.Canvas.DrawRect(box, wood);
            ink.Canvas.Save();
            ink.Canvas.ClipRect(box);
            sample(ink, box);
            ink.Canvas.Restore();
            words.Draw(ink.Canvas, box.Right + (_style.BodyPx * 0.4f), top + at.Y, PictureStyle.QuietText);
        }
    }

    private IEnumerable<(Action<OverlayCanvas, SKRect> Sample, string Words)> Entries(Measurement m)
    {
        var core = _style.CorePx;
        Action<OverlayCanvas, SKRect> Level(SKColor color, float width, float[]? dash = null) =>
            (ink, box) => ink.Line([new(box.Left, box.MidY), new(box.Right, box.MidY)], color, width, dash: dash);
        if (m.Outline.Count > 1)
            yield return (Level(PictureStyle.Outline, core), "outline, corners 1 to 4");
        if (m.Rings is { } rings)
        {
            yield return (Ticks, "radial path: a tick at each ring boundary, longer each 5th, longest each 10th");
            if (rings.WorstInchPath is { Count: > 1 })
                yield return (Rails, "worst inch");
        }

        if (m.RingAngle is not null)
            yield return (Level(PictureStyle.Tangent, core * 0.8f, AngleOverlay.TangentDash), "ring tangent against side 1-2 (wide face)");
        if (m.View == View.Face && m.Outline.Count == 4)
            yield return (Level(PictureStyle.Axis, core * 0.7f, SectionOverlay.AxisDash), "long axis");
        if (m.Grain is { Traces.Count: > 0 })
            yield return (Level(PictureStyle.Grain, core * 0.6f), "grain as traced");
        if (m.Grain?.WorstWindowCentre is not null)
            yield return ((ink, box) => ink.Circle(new(box.MidX, box.MidY), box.Height * 0.32f, PictureStyle.WorstInch, core), "steepest grain");
        if (m.Scale.Marks is { Count: > 0 })
            yield return (Level(PictureStyle.ScaleMark, core * 0.7f), "where the scale was read");
    }

    private void Ticks(OverlayCanvas ink, SKRect box)
    {
        ink.Line([new(box.Left, box.MidY), new(box.Right, box.MidY)], PictureStyle.Ring, _style.CorePx * 0.5f);
        for (var i = 1; i <= 4; i++)
        {
            var x = box.Left + (box.Width * i / 5);
            var reach = box.Height * (i == 4 ? 0.42f : 0.22f);
            ink.Segments([new(x, box.MidY - reach), new(x, box.MidY + reach)], PictureStyle.Ring, _style.CorePx * 0.8f);
        }
    }

    private void Rails(OverlayCanvas ink, SKRect box) =>
        ink.Line([new(box.Left + (box.Width * 0.1f), box.Top + (box.Height * 0.2f)), new(box.Right - (box.Width * 0.1f), box.Top + (box.Height * 0.2f)), new(box.Right - (box.Width * 0.1f), box.Bottom - (box.Height * 0.2f)), new(box.Left + (box.Width * 0.1f), box.Bottom - (box.Height * 0.2f))], PictureStyle.WorstInch, _style.CorePx * 0.8f, closed: true, dash: [5, 1.6f]);
}
