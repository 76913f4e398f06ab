using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>Lines to sign on.</summary>
internal static class Signature
{
    /// <summary>One line for each word, beside each other, the word below it.</summary>
    public static void Draw(PdfPen pen, IReadOnlyList<string> words)
    {
        pen.Need(22);
        const float gap = 18;
        var width = (PdfPen.Width - (gap * (words.Count - 1))) / words.Count;
        using var line = new SKPaint { Color = PdfInk.Text, IsStroke = true, StrokeWidth = 0.8f };
        for (var i = 0; i < words.Count; i++)
        {
            var left = PdfPen.Margin + (i * (width + gap));
            pen.Canvas.DrawLine(left, pen.Y + 6, left + width, pen.Y + 6, line);
            PdfInk.Words(pen.Canvas, words[i], left, pen.Y + 15, 7.5f, color: PdfInk.Quiet);
        }

        pen.Skip(22);
    }
}
