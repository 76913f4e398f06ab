using GrainVision.Grading.Cards;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Cards;

/// <summary>Size of a sheet, mm.</summary>
public sealed record PaperSize(string Name, double WidthMm, double HeightMm)
{
    /// <summary>ISO 216.</summary>
    public static PaperSize A4 { get; } = new("A4", 210, 297);

    /// <summary>8.5 x 11 in.</summary>
    public static PaperSize Letter { get; } = new("Letter", 8.5 * 25.4, 11 * 25.4);
}

/// <summary>
/// The sheet with the printed scale card: card with crop marks, a 100 mm and a 4 in check line, and how to use them.
/// Vector PDF or SVG, or PNG, all at exact size; the same bytes on every run.
/// </summary>
public sealed class CardSheet(PaperSize paper)
{
    private const float MarginMm = 20;
    private const float CardTopMm = 46;
    private const float StepsTopMm = 160;

    /// <summary>Where the card's top-left corner lies on the sheet, mm.</summary>
    public (double X, double Y) CardAtMm { get; } = ((paper.WidthMm - CardDesign.WidthMm) / 2, CardTopMm);

    /// <summary>Where the 100 mm check line starts on the sheet, mm.</summary>
    public (double X, double Y) CheckLineAtMm { get; } = (((paper.WidthMm - CardDesign.WidthMm) / 2) + CardDesign.CheckLineAtMm.X, CardTopMm + CardDesign.CheckLineAtMm.Y);

    public void WritePdf(Stream stream) => Page.WritePdf(stream, paper, "GrainVision scale card", Draw);

    public void WriteSvg(Stream stream) => Page.WriteSvg(stream, paper, Draw);

    public void WritePng(Stream stream, int dpi) => Page.WritePng(stream, paper, dpi, SKColorType.Gray8, Draw);

    private void Draw(SKCanvas canvas)
    {
        var (plain, bold) = (BundledFont.Regular, BundledFont.Bold);
        using var ink = new SKPaint { Color = SKColors.Black, IsAntialias = true };

        Page.Text(canvas, "GrainVision scale card", MarginMm, 26, bold, 6.5f, ink);
        Page.Text(canvas, "Lay it beside the wood in every photo: the measurements take their scale from it.", MarginMm, 33.5f, plain, 3.6f, ink);

        using (new SKAutoCanvasRestore(canvas))
        {
            canvas.Translate((float)CardAtMm.X, (float)CardAtMm.Y);
            CardDrawing.Draw(canvas, plain);
            CropMarks(canvas);
        }

        CheckLine.Draw(canvas, CheckLineAtMm, plain, ink);
        Steps(canvas, plain, bold, ink);
    }

    internal static void CropMarks(SKCanvas canvas)
    {
        // Outside the card only, so that no line is left on it after cutting.
        const float gap = 1.5f, length = 6;
        using var hair = new SKPaint { Color = SKColors.Black, IsStroke = true, StrokeWidth = 0.15f, IsAntialias = true };
        foreach (var corner in CardDesign.OutlineMm)
        {
            var (x, y) = ((float)corner.X, (float)corner.Y);
            var outX = x == 0 ? -1 : 1;
            var outY = y == 0 ? -1 : 1;
            canvas.DrawLine(x + (outX * gap), y, x + (outX * (gap + length)), y, hair);
            canvas.DrawLine(x, y + (outY * gap), x, y + (outY * (gap + length)), hair);
        }
    }

    private static void Steps(SKCanvas canvas, SKTypeface plain, SKTypeface bold, SKPaint ink)
    {
        (string Head, string[] Lines)[] steps =
        [
            ("Print", ["at 100 %: \u201cactual size\u201d, no \u201cfit to page\u201d. Matt white paper; gloss gives glare."]),
            ("Check", ["both lines above with a steel rule: 100.0 mm and 4.000 in, within 0.2 mm.", "If they are off, the printer scaled the page: do not use the print."]),
            ("Glue", ["the sheet on stiff flat board, then cut along the crop marks."]),
            ("Lay", ["the card flat beside the wood, its face level with the wood\u2019s surface:", "pack it up or down. A card 5 mm too near or too far is 1 % wrong at half a metre."]),
            ("Shoot", ["square to the wood, the whole card in the picture and in focus,", "no finger or shadow on it. The card should be at least 250 pixels wide."]),
        ];
        Page.Steps(canvas, steps, MarginMm, StepsTopMm, 6, plain, bold, ink);
    }
}
