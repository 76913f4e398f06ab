using GrainVision.Grading.Findings;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>
/// The verdict above the photo: word, sign and edge pattern as well as colour, and what made it so. The measured number itself stands below the photo. Accept:
/// plain edge and a tick; hold: slanted stripes and a triangle; reject: chequers and a cross in a square.
/// </summary>
internal sealed class VerdictBanner
{
    /// <summary>3 lines of reason at most, where the photo is high enough; the whole text is in the record and the alt text.</summary>
    private const int MostReasonLines = 3;

    private readonly PictureStyle _style;
    private readonly Verdict? _verdict;
    private readonly TextBlock _word;
    private readonly TextBlock _scope;
    private readonly TextBlock _reason;
    private readonly float _edgePx;
    private readonly float _signPx;
    private readonly int _widthPx;

    /// <param name="style">Sizes.</param>
    /// <param name="measurement">What was judged.</param>
    /// <param name="widthPx">Of the picture.</param>
    /// <param name="sparePx">What the picture has room for beyond one line of reason, px.</param>
    public VerdictBanner(PictureStyle style, Measurement measurement, int widthPx, float sparePx)
    {
        _style = style;
        _widthPx = widthPx;
        _verdict = measurement.Verdict;
        _edgePx = style.BodyPx * 0.3f;
        _signPx = style.VerdictPx * 1.1f;
        _word = TextBlock.Wrap([new(_verdict is null ? "MEASURED" : TradeWords.Outcome(_verdict.Outcome).ToUpperInvariant(), Bold: true)], _verdict is null ? style.VerdictPx * 0.7f : style.VerdictPx, widthPx * 0.45f, 1);
        var beside = widthPx - Left - style.MarginPx;
        var lines = 1 + (int)Math.Clamp(sparePx / (style.BodyPx * TextBlock.LineHeight), 0, MostReasonLines - 1);
        _scope = TextBlock.Wrap([new(_verdict is null ? TradeWords.Sentence(TradeWords.WhyNotJudged(measurement)) : TradeWords.Sentence($"{_verdict.Scope}, for {_verdict.Use}"), Bold: true)], style.BodyPx, beside, lines > 1 ? 2 : 1);
        lines -= (int)Math.Round(_scope.HeightPx / (style.BodyPx * TextBlock.LineHeight)) - 1;
        var why = _verdict is null ? "" : ReasonWords.Why(_verdict, measurement);
        using var font = BundledFont.Create(style.BodyPx);
        // A single line that is a little too long is written smaller rather than cut.
        var fitting = lines > 1 ? 1 : Math.Clamp(0.98f * beside / Math.Max(1, font.MeasureText(TextBlock.Clean(why))), 0.8f, 1);
        _reason = TextBlock.Wrap([new(why)], style.BodyPx * fitting, beside, lines);
    }

    public int HeightPx => (int)MathF.Ceiling((2 * _edgePx) + Math.Max(_signPx, WordsPx) + (_style.MarginPx * 0.6f));

    private float WordsPx => _scope.HeightPx + (_reason.WidthPx > 0 ? _reason.HeightPx : 0);

    private float Left => _style.MarginPx + _signPx + (_style.MarginPx * 0.8f) + _word.WidthPx + (_style.MarginPx * 1.2f);

    public void Draw(SKCanvas canvas)
    {
        var (ground, ink) = PictureStyle.Banner(_verdict?.Outcome);
        using var paint = new SKPaint { IsAntialias = true, Color = ground };
        canvas.DrawRect(0, 0, _widthPx, HeightPx, paint);
        DrawEdge(canvas, SKRect.Create(0, 0, _widthPx, _edgePx), ink);
        DrawEdge(canvas, SKRect.Create(0, HeightPx - _edgePx, _widthPx, _edgePx), ink);
        var middle = HeightPx / 2f;
        DrawSign(canvas, new SKPoint(_style.MarginPx + (_signPx / 2), middle), ink);
        _word.Draw(canvas, _style.MarginPx + _signPx + (_style.MarginPx * 0.8f), middle - (_word.HeightPx / 2), ink);
        var top = middle - (WordsPx / 2);
        _scope.Draw(canvas, Left, top, ink);
        _reason.Draw(canvas, Left, top + _scope.HeightPx, ink);
    }

    private void DrawEdge(SKCanvas canvas, SKRect edge, SKColor color)
    {
        using var paint = new SKPaint { IsAntialias = true, Color = color };
        canvas.Save();
        canvas.ClipRect(edge);
        var h = edge.Height;
        switch (_verdict?.Outcome)
        {
            case VerdictOutcome.Hold:
                for (var x = -h; x < edge.Right; x += 2 * h)
                {
                    using var builder = new SKPathBuilder();
                    builder.AddPoly([new(x, edge.Bottom), new(x + h, edge.Top), new(x + (2 * h), edge.Top), new(x + h, edge.Bottom)], true);
                    using var stripe = builder.Detach();
                    canvas.DrawPath(stripe, paint);
                }

                break;
            case VerdictOutcome.Reject:
                for (var i = 0; i * h / 2 < edge.Right; i++)
                    canvas.DrawRect(i * h / 2, edge.Top + (i % 2 * h / 2), h / 2, h / 2, paint);
                break;
            case VerdictOutcome.Accept:
                canvas.DrawRect(0, edge.MidY - (h * 0.12f), edge.Right, h * 0.24f, paint);
                break;
        }

        canvas.Restore();
    }

    private void DrawSign(SKCanvas canvas, SKPoint centre, SKColor color)
    {
        var r = _signPx / 2;
        using var paint = new SKPaint { IsAntialias = true, Color = color, Style = SKPaintStyle.Stroke, StrokeWidth = r * 0.2f, StrokeCap = SKStrokeCap.Round, StrokeJoin = SKStrokeJoin.Round };
        var ring = r * 0.88f;
        switch (_verdict?.Outcome)
        {
            case VerdictOutcome.Accept:
                canvas.DrawCircle(centre, ring, paint);
                canvas.DrawLine(centre.X - (r * 0.4f), centre.Y, centre.X - (r * 0.1f), centre.Y + (r * 0.35f), paint);
                canvas.DrawLine(centre.X - (r * 0.1f), centre.Y + (r * 0.35f), centre.X + (r * 0.42f), centre.Y - (r * 0.32f), paint);
                break;
            case VerdictOutcome.Reject:
                canvas.DrawRect(SKRect.Create(centre.X - ring, centre.Y - ring, 2 * ring, 2 * ring), paint);
                canvas.DrawLine(centre.X - (r * 0.45f), centre.Y - (r * 0.45f), centre.X + (r * 0.45f), centre.Y + (r * 0.45f), paint);
                canvas.DrawLine(centre.X - (r * 0.45f), centre.Y + (r * 0.45f), centre.X + (r * 0.45f), centre.Y - (r * 0.45f), paint);
                break;
            case VerdictOutcome.Hold:
                using (var builder = new SKPathBuilder())
                {
                    builder.AddPoly([new(centre.X, centre.Y - ring), new(centre.X + ring, centre.Y + (ring * 0.8f)), new(centre.X - ring, centre.Y + (ring * 0.8f))], true);
                    using var triangle = builder.Detach();
                    canvas.DrawPath(triangle, paint);
                }

                canvas.DrawLine(centre.X, centre.Y - (r * 0.25f), centre.X, centre.Y + (r * 0.2f), paint);
                canvas.DrawLine(centre.X, centre.Y + (r * 0.47f), centre.X, centre.Y + (r * 0.48f), paint);
                break;
            default:
                canvas.DrawLine(centre.X - (r * 0.7f), centre.Y, centre.X + (r * 0.7f), centre.Y, paint);
                break;
        }
    }
}
