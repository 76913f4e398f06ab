using System.Globalization;
using GrainVision.Grading.Quantities;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>Two bars, one in millimetres and one in inches, as long as that is on the photo at the middle of the piece.</summary>
internal sealed class ScaleBar
{
    /// <summary>0.22: longest bar as a share of the picture's width; the rest is for the words beside it.</summary>
    private const double LongestShare = 0.22;

    private static readonly double[] LengthsMm = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000];
    private static readonly (double Inch, string Words)[] LengthsInch =
        [(1 / 16.0, "1/16 in"), (1 / 8.0, "1/8 in"), (1 / 4.0, "1/4 in"), (1 / 2.0, "1/2 in"), (1, "1 in"), (2, "2 in"), (4, "4 in"), (6, "6 in"), (12, "12 in"), (24, "24 in"), (48, "48 in"), (96, "96 in")];

    private readonly PictureStyle _style;
    private readonly List<(float LengthPx, string Words)> _bars = [];

    public ScaleBar(PictureStyle style, double canvasPxPerMm, int widthPx)
    {
        _style = style;
        if (!double.IsFinite(canvasPxPerMm) || canvasPxPerMm <= 0)
            return;
        // Nothing for a scale so far off that a bar would be a dot.
        var most = LongestShare * widthPx / canvasPxPerMm;
        var least = style.LabelPx / canvasPxPerMm;
        if (LengthsMm.LastOrDefault(mm => mm <= most) is > 0 and var mm && mm >= least)
            _bars.Add(((float)(mm * canvasPxPerMm), mm.ToString(CultureInfo.InvariantCulture) + " mm"));
        if (LengthsInch.LastOrDefault(l => l.Inch * Units.MmPerInch <= most) is { Inch: > 0 } inch && inch.Inch * Units.MmPerInch >= least)
            _bars.Add(((float)(inch.Inch * Units.MmPerInch * canvasPxPerMm), inch.Words));
    }

    public float HeightPx => _bars.Count * RowPx;

    /// <summary>Of the bars with their words.</summary>
    public float WidthPx => _bars.Count == 0 ? 0 : _bars.Max(b => b.LengthPx) + (_style.LabelPx * 5);

    private float RowPx => _style.LabelPx * TextBlock.LineHeight;

    public void Draw(SKCanvas canvas, float left, float top)
    {
        using var light = new SKPaint { IsAntialias = false, Color = PictureStyle.Text };
        using var dark = new SKPaint { IsAntialias = false, Color = PictureStyle.Panel };
        using var words = new SKPaint { IsAntialias = true, Color = PictureStyle.Text };
        using var font = BundledFont.Create(_style.LabelPx, bold: true);
        for (var i = 0; i < _bars.Count; i++)
        {
            var y = top + (i * RowPx);
            var bar = SKRect.Create(left, y + (RowPx * 0.3f), _bars[i].LengthPx, RowPx * 0.4f);
            canvas.DrawRect(bar, light);
            // Halves, the first one hollow: the bar can be halved by eye and shows its ends on a grey print.
            var rim = MathF.Max(2, _style.CorePx * 0.8f);
            if (bar.Width > 8 * rim)
                canvas.DrawRect(SKRect.Create(bar.Left + rim, bar.Top + rim, (bar.Width / 2) - rim, bar.Height - (2 * rim)), dark);
            canvas.DrawText(_bars[i].Words, bar.Right + (_style.LabelPx * 0.4f), y + (RowPx * 0.5f) + (_style.LabelPx * 0.36f), SKTextAlign.Left, font, words);
        }
    }
}
