using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>The numbers under the photo, each with its interval; the list of blemishes; what cannot be said; the caution.</summary>
internal sealed class NumbersPanel
{
    /// <summary>12: blemishes told in words under the photo; all of them are drawn and are in the record.</summary>
    private const int BlemishesTold = 12;

    /// <summary>6: things that cannot be said and warnings told under the photo.</summary>
    private const int NotesTold = 6;

    private readonly PictureStyle _style;
    private readonly int _widthPx;
    private readonly List<Row> _rows = [];
    private readonly LegendPanel _legend;
    private readonly TextBlock _caution;

    public NumbersPanel(PictureStyle style, Measurement measurement, int widthPx)
    {
        _style = style;
        _widthPx = widthPx;
        if (measurement.Rings is { } rings)
            AddRings(rings);
        if (measurement.RingAngle is { } angle)
            AddAngle(angle);
        if (measurement.Grain is { } grain)
            AddGrain(grain);
        AddBlemishes(measurement);
        AddScale(measurement.Scale);
        AddNotes(measurement);
        if (measurement.Verdict is { } verdict)
            AddHandChecks(measurement, verdict);
        Add("", [new("In brackets: the 95 % interval, rounded outwards.", Color: PictureStyle.QuietText)]);
        _legend = new LegendPanel(style, measurement, TextWidth);
        _caution = TextBlock.Wrap([new(VerdictCautions.Short, Bold: true)], style.BodyPx, TextWidth, 3);
    }

    public int HeightPx => (int)MathF.Ceiling(_rows.Sum(r => r.HeightPx + Gap) + _legend.HeightPx + _caution.HeightPx + (_style.MarginPx * 2.6f));

    private float TextWidth => _widthPx - (2 * _style.MarginPx);

    private float LabelWidth => TextWidth * 0.27f;

    private float BlemishIndent => _style.BodyPx * 4.4f;

    private float Gap => _style.BodyPx * 0.22f;

    public void Draw(OverlayCanvas ink, float top)
    {
        var canvas = ink.Canvas;
        using var ground = new SKPaint { Color = PictureStyle.Panel };
        canvas.DrawRect(0, top, _widthPx, HeightPx, ground);
        var y = top + (_style.MarginPx * 0.6f);
        foreach (var row in _rows)
        {
            row.Label?.Draw(canvas, _style.MarginPx, y, PictureStyle.QuietText);
            row.Swatch?.Invoke(ink, SKRect.Create(_style.MarginPx, y + (_style.BodyPx * 0.1f), _style.BodyPx * 3.9f, _style.BodyPx * 1.1f));
            row.Text.Draw(canvas, _style.MarginPx + row.Indent, y, PictureStyle.Text);
            y += row.HeightPx + Gap;
        }

        y += _style.MarginPx * 0.4f;
        _legend.Draw(ink, _style.MarginPx, y);
        y += _legend.HeightPx + (_style.MarginPx * 0.5f);
        using var rule = new SKPaint { Color = PictureStyle.QuietText, StrokeWidth = _style.CorePx * 0.6f };
        canvas.DrawLine(_style.MarginPx, y, _widthPx - _style.MarginPx, y, rule);
        _caution.Draw(canvas, _style.MarginPx, y + (_style.MarginPx * 0.3f), PictureStyle.Text);
    }

    private void AddRings(RingFinding r)
    {
        Add("Rings per inch", [new(Figures.Span(r.PerInch), Bold: true), new($"  {Figures.Whole(r.Count)} rings counted")]);
        Add("Worst inch", [new(Figures.Span(r.WorstInch), Bold: true), new("  rings per inch")]);
        Add("Ring width", [new(Figures.Span(r.MeanWidthMm, " mm"), Bold: true), new($"  latewood {Figures.Best(r.LatewoodShare.Scale(100))} %")]);
    }

    private void AddAngle(RingAngleFinding a)
    {
        Add("Ring angle", [new(Figures.Span(a.Degrees, "°"), Bold: true), new($"  least {Figures.Number(a.Least, 0)}°, greatest {Figures.Number(a.Greatest, 0)}°")]);
        Add("Cut", [new(TradeWords.Cut(a.Cut), Bold: true), new(a.EdgeGrained ? "  edge-grained by the 45° rule" : "  flat-grained by the 45° rule")]);
        if (a.Pith is { } pith)
            Add("Pith", [new(pith.Boxed ? "inside the section" : Figures.Span(pith.DistanceMm, " mm"), Bold: true), new(pith.Boxed ? "" : "  from the middle of the section")]);
    }

    private void AddGrain(GrainFinding g)
    {
        Add("Slope of grain", [new(Figures.OneInSpan(g.OneIn), Bold: true), new($"  {TradeWords.Drift(g.Slope)}; {TradeWords.Basis(g.Basis)}")]);
        Add("Steepest part", [new(Figures.OneInSpan(OneIn.From(g.WorstWindow)), Bold: true)]);
        if (g.OuterEighths is { } outer)
            Add("Outer eighths", [new(Figures.OneInSpan(OneIn.From(outer)), Bold: true), new("  steepest there")]);
    }

    private void AddBlemishes(Measurement m)
    {
        Add("Blemishes", [new(m.Blemishes.Count == 0 ? "none found" : Figures.Whole(m.Blemishes.Count), Bold: true)]);
        for (var i = 0; i < Math.Min(BlemishesTold, m.Blemishes.Count); i++)
        {
            var (blemish, number) = (m.Blemishes[i], Figures.Whole(i + 1));
            Add(null, [new(Unbroken(TradeWords.Blemish(blemish, m.View)))], BlemishIndent, (ink, box) => Swatch(ink, box, number, blemish.Kind));
        }

        if (m.Blemishes.Count > BlemishesTold)
            Add(null, [new($"and {Figures.Whole(m.Blemishes.Count - BlemishesTold)} more, in the record")], BlemishIndent);
        if (TradeWords.Dismissed(m) is { } dismissed)
            Add(null, [new(dismissed)], BlemishIndent);
    }

    /// <summary>Keeps a number and its unit on one line.</summary>
    private static string Unbroken(string text) => text.Replace(" mm", "\u00A0mm", StringComparison.Ordinal).Replace(" % sure", "\u00A0%\u00A0sure", StringComparison.Ordinal);

    private static void Swatch(OverlayCanvas ink, SKRect box, string number, BlemishKind kind)
    {
        var size = ink.LabelSize(number);
        ink.Label(number, SKRect.Create(box.Left, box.MidY - (size.Height / 2), Math.Max(size.Width, size.Height), size.Height), PictureStyle.Blemish, round: true);
        using var builder = new SKPathBuilder();
        builder.AddRect(SKRect.Create(box.Right - (box.Height * 1.2f), box.Top + (box.Height * 0.06f), box.Height * 1.2f, box.Height * 0.88f), SKPathDirection.Clockwise);
        using var shape = builder.Detach();
        Hatch.From(kind).Fill(ink, shape);
        ink.Stroke(shape, PictureStyle.Blemish, ink.Style.CorePx * 0.7f, Hatch.From(kind).AnglesDeg.Length == 0 ? [3, 2] : null);
    }

    private void AddScale(ScaleFinding s) =>
        Add("Scale", [new(Figures.Span(s.PixelsPerMm, " px/mm"), Bold: true), new($"  from {TradeWords.Scale(s)}")]);

    private void AddNotes(Measurement m)
    {
        foreach (var c in m.CannotSay.Take(NotesTold))
            Add("Cannot say", [new(c.Subject, Bold: true), new($": {c.Why}"), new(" By hand: ", Bold: true), new(c.HandCheck)], mostLines: 5);
        if (m.CannotSay.Count > NotesTold)
            Add("Cannot say", [new($"and {Figures.Whole(m.CannotSay.Count - NotesTold)} more, in the record")]);
        foreach (var w in m.Warnings.Take(NotesTold))
            Add("Note", [new(w.Message)], mostLines: 4);
        if (m.Warnings.Count > NotesTold)
            Add("Note", [new($"and {Figures.Whole(m.Warnings.Count - NotesTold)} more, in the record")]);
    }

    private void AddHandChecks(Measurement m, Verdict verdict)
    {
        // Not the ones that the banner or a "cannot say" has told already.
        var checks = verdict.HandChecks.Except(m.CannotSay.Select(c => c.HandCheck)).Except([VerdictBanner.MainReason(verdict)?.HandCheck ?? ""]).ToArray();
        foreach (var check in checks.Take(NotesTold))
            Add("Still by hand", [new(check)]);
        if (checks.Length > NotesTold)
            Add("Still by hand", [new($"and {Figures.Whole(checks.Length - NotesTold)} more, in the record")]);
        // The last line of the picture says the caution in any case.
        foreach (var caution in verdict.Cautions.Take(NotesTold))
            Add("Caution", [new(caution)]);
    }

    private void Add(string? label, IReadOnlyList<TextRun> runs, float? indent = null, Action<OverlayCanvas, SKRect>? swatch = null, int mostLines = 4)
    {
        var left = indent ?? LabelWidth + (_style.BodyPx * 0.4f);
        var name = string.IsNullOrEmpty(label) ? null : TextBlock.Wrap([new(label)], _style.BodyPx, LabelWidth, 2);
        _rows.Add(new Row(name, TextBlock.Wrap(runs, _style.BodyPx, TextWidth - left, mostLines), left, swatch));
    }

    private sealed record Row(TextBlock? Label, TextBlock Text, float Indent, Action<OverlayCanvas, SKRect>? Swatch)
    {
        public float HeightPx => Math.Max(Text.HeightPx, Label?.HeightPx ?? 0);
    }
}
