using GrainVision.Grading.Quantities;
using SkiaSharp;

namespace GrainVision.Presentation.Cards;

/// <summary>The lengths that the shop holds against its own rule once for every print: 100 mm and 4 in.</summary>
internal static class CheckLine
{
    public const double LengthMm = 100;
    private const float InchLineDropMm = 17;

    public static void Draw(SKCanvas canvas, (double X, double Y) atMm, SKTypeface face, SKPaint ink, string words = "Check these two lengths with a steel rule before using the card.")
    {
        using (new SKAutoCanvasRestore(canvas))
        {
            canvas.Translate((float)atMm.X, (float)atMm.Y);
            using var line = new SKPaint { Color = SKColors.Black, IsStroke = true, StrokeWidth = 0.2f, IsAntialias = true };
            Ticks(canvas, line, LengthMm, 1, [(10, 6), (5, 4.5f), (1, 3)]);
            Ends(canvas, "0", "100 mm", LengthMm, face, ink);
            canvas.Translate(0, InchLineDropMm);
            Ticks(canvas, line, 4 * Units.MmPerInch, Units.MmPerInch / 16, [(16, 6), (8, 5), (4, 4.2f), (2, 3.4f), (1, 2.6f)]);
            Ends(canvas, "0", "4 in", 4 * Units.MmPerInch, face, ink);
            Page.Text(
                canvas, words, (float)(LengthMm / 2), 12.5f, face, 3.4f, ink, SKTextAlign.Center);
        }
    }

    private static void Ticks(SKCanvas canvas, SKPaint line, double lengthMm, double stepMm, (int Every, float LongMm)[] classes)
    {
        canvas.DrawLine(0, 0, (float)lengthMm, 0, line);
        var count = (int)Math.Round(lengthMm / stepMm);
        for (var i = 0; i <= count; i++)
        {
            var x = (float)(i * stepMm);
            canvas.DrawLine(x, 0, x, -classes.First(c => i % c.Every == 0).LongMm, line);
        }
    }

    private static void Ends(SKCanvas canvas, string first, string last, double lengthMm, SKTypeface face, SKPaint ink)
    {
        Page.Text(canvas, first, -2, 0, face, 3.4f, ink, SKTextAlign.Right);
        Page.Text(canvas, last, (float)lengthMm + 2, 0, face, 3.4f, ink);
    }
}
