using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>
/// The verdict above the photo: word, sign and edge pattern as well as colour. Accept: plain edge and a tick; hold: slanted
/// stripes and a triangle; reject: chequers and a cross in a square.
/// </summary>
internal sealed class VerdictBanner
{
    /// <summary>8 lines: what fits above the photo on a phone; the whole text is in the record and the alt text.</summary>
    private const int MostReasonLines = 8;

    private readonly PictureStyle _style;
    private readonly Verdict? _verdict;
    private readonly TextBlock _word;
    private readonly TextBlock _scope;
    private readonly TextBlock _reason;
    private readonly float _edgePx;
    private readonly float _signPx;
    private readonly int _widthPx;

    public VerdictBanner(PictureStyle style, Measurement measurement, int widthPx)
    {
        _style = style;
        _widthPx = widthPx;
        _verdict = measurement.Verdict;
        _edgePx = style.BodyPx * 0.8f;
        _signPx = style.VerdictPx * 1.15f;
        var textLeft = style.MarginPx + _signPx + style.MarginPx;
        var beside = widthPx - textLeft - style.MarginPx;
        _word = TextBlock.Wrap([new(TradeWords.Outcome(_verdict?.Outcome).ToUpperInvariant(), Bold: true)], style.VerdictPx, beside, 2);
        _scope = TextBlock.Wrap([new(_verdict is null ? TradeWords.WhyNotJudged(measurement) : ScopeLine(_verdict), Bold: true)], style.BodyPx * 1.1f, beside, 3);
        _reason = TextBlock.Wrap(ReasonRuns(_verdict), style.BodyPx, widthPx - (2 * style.MarginPx), MostReasonLines);
    }

    public int HeightPx => (int)MathF.Ceiling((2 * _edgePx) + Head + (HasReason ? _reason.HeightPx : 0) + (_style.MarginPx * 0.9f));

    private bool HasReason => _reason.WidthPx > 0;

    private float Head => Math.Max(_signPx + (_style.MarginPx * 0.6f), _word.HeightPx + _scope.HeightPx) + (_style.MarginPx * 0.3f);

    public void Draw(SKCanvas canvas)
    {
        var (ground, ink) = PictureStyle.Banner(_verdict?.Outcome);
        using var paint = new SKPaint { IsAntialias = true, Color = ground };
        canvas.DrawRect(0, 0, _widthPx, HeightPx, paint);
        DrawEdge(canvas, SKRect.Create(0, 0, _widthPx, _edgePx), ink);
        DrawEdge(canvas, SKRect.Create(0, HeightPx - _edgePx, _widthPx, _edgePx), ink);
        DrawSign(canvas, new SKPoint(_style.MarginPx + (_signPx / 2), _edgePx + (_style.MarginPx * 0.4f) + (_signPx / 2)), ink);
        var left = _style.MarginPx + _signPx + _style.MarginPx;
        _word.Draw(canvas, left, _edgePx, ink);
        _scope.Draw(canvas, left, _edgePx + _word.HeightPx, ink);
        if (HasReason)
            _reason.Draw(canvas, _style.MarginPx, _edgePx + Head, ink);
    }

    private static string ScopeLine(Verdict verdict) => $"{verdict.Scope} – for {verdict.Use}";

    /// <summary>The first of the reasons that made the verdict what it is; the judge orders them.</summary>
    public static Reason? MainReason(Verdict verdict) => verdict.Reasons.FirstOrDefault(r => r.Outcome == verdict.Outcome);

    private static List<TextRun> ReasonRuns(Verdict? verdict)
    {
        if (verdict is null || MainReason(verdict) is not { } main)
            return [];
        var alike = verdict.Reasons.Count(r => r.Outcome == verdict.Outcome);
        List<TextRun> runs = [new(main.Text)];
        if (main.HandCheck is { Length: > 0 } check)
            runs.Add(new(" By hand: " + check, Bold: true));
        if (verdict.Outcome != VerdictOutcome.Accept && alike > 1)
            runs.Add(new($" And {Figures.Whole(alike - 1)} more of the same weight, in the record."));
        else if (verdict.Outcome == VerdictOutcome.Accept && alike > 1)
            runs.Add(new($" All {Figures.Whole(alike)} limits that this photo can show are met."));
        return runs;
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
