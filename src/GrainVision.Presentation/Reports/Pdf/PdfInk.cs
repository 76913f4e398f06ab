using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>Colours and patterns on paper. A verdict has a pattern too, so that a grey print and colour-blind eyes part them: accept plain, hold slanted lines, reject crossed lines.</summary>
internal static class PdfInk
{
    public static readonly SKColor Text = new(0x12, 0x16, 0x1A);
    public static readonly SKColor Quiet = new(0x55, 0x5E, 0x66);
    public static readonly SKColor Rule = new(0xB8, 0xC0, 0xC6);
    public static readonly SKColor Wood = new(0xF3, 0xE6, 0xCF);

    private static readonly SKColor Accept = new(0xBF, 0xE3, 0xC6);
    private static readonly SKColor Hold = new(0xFF, 0xE2, 0x9A);
    private static readonly SKColor Reject = new(0xF2, 0xB8, 0xAE);

    public static void Fill(SKCanvas canvas, SKRect at, VerdictOutcome outcome)
    {
        if (at.Width <= 0)
            return;
        using var ground = new SKPaint { Color = outcome switch { VerdictOutcome.Accept => Accept, VerdictOutcome.Hold => Hold, _ => Reject } };
        canvas.DrawRect(at, ground);
        if (outcome != VerdictOutcome.Accept)
            Hatch(canvas, at, 5, outcome == VerdictOutcome.Reject, new SKColor(0, 0, 0, 70));
        Frame(canvas, at, Text, 0.6f);
    }

    public static void Frame(SKCanvas canvas, SKRect at, SKColor color, float width)
    {
        using var line = new SKPaint { Color = color, IsStroke = true, StrokeWidth = width, IsAntialias = true };
        canvas.DrawRect(at, line);
    }

    /// <summary>Slanted lines every <paramref name="step"/> points, crossed by others where asked for.</summary>
    public static void Hatch(SKCanvas canvas, SKRect at, float step, bool crossed, SKColor color)
    {
        using var restore = new SKAutoCanvasRestore(canvas);
        using var line = new SKPaint { Color = color, IsStroke = true, StrokeWidth = 0.7f, IsAntialias = true };
        canvas.ClipRect(at);
        for (var x = at.Left - at.Height; x < at.Right; x += step)
        {
            canvas.DrawLine(x, at.Bottom, x + at.Height, at.Top, line);
            if (crossed)
                canvas.DrawLine(x, at.Top, x + at.Height, at.Bottom, line);
        }
    }

    /// <summary>The verdict as a sign with its word: patterned ground at the sides, the word on white between, so that it stays legible.</summary>
    public static void Chip(SKCanvas canvas, SKRect at, VerdictOutcome outcome)
    {
        Fill(canvas, at, outcome);
        using var font = BundledFont.Create(at.Height * 0.62f, bold: true);
        var word = TradeWords.Outcome(outcome).ToUpperInvariant();
        var width = font.MeasureText(word) + 6;
        using var white = new SKPaint { Color = SKColors.White };
        canvas.DrawRect(SKRect.Create(at.MidX - (width / 2), at.Top + 1.5f, width, at.Height - 3), white);
        Words(canvas, word, at.MidX, at.MidY + (at.Height * 0.22f), at.Height * 0.62f, bold: true, SKTextAlign.Center);
    }

    /// <summary>As large as fits into the cell, at its left and bottom.</summary>
    public static void Image(SKCanvas canvas, SKImage image, SKRect cell)
    {
        var k = Math.Min(cell.Width / image.Width, cell.Height / image.Height);
        var at = SKRect.Create(cell.Left, cell.Bottom - (k * image.Height), k * image.Width, k * image.Height);
        canvas.DrawImage(image, at, new SKSamplingOptions(SKFilterMode.Linear));
        Frame(canvas, at, Rule, 0.5f);
    }

    public static void Words(SKCanvas canvas, string text, float x, float baseline, float size, bool bold = false, SKTextAlign align = SKTextAlign.Left, SKColor? color = null)
    {
        using var font = BundledFont.Create(size, bold);
        using var ink = new SKPaint { Color = color ?? Text, IsAntialias = true };
        canvas.DrawText(TextBlock.Clean(text), x, baseline, align, font, ink);
    }

    /// <summary>Words cut to a width, with "…" where they are too long.</summary>
    public static void Fitted(SKCanvas canvas, string text, float x, float top, float size, float width, bool bold = false) =>
        TextBlock.Wrap([new(text, bold)], size, width, 1).Draw(canvas, x, top, Text);
}
