using System.Reflection;
using GrainVision.Measuring.Scale;
using SkiaSharp;

namespace GrainVision.ScaleCard;

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
/// Vector PDF or PNG, both at exact size; the same bytes on every run.
/// </summary>
public sealed class CardSheet(PaperSize paper)
{
    /// <summary>Points per mm: PDF counts in 1/72 in.</summary>
    private const double PointsPerMm = 72 / 25.4;

    private const float MarginMm = 20;
    private const float CardTopMm = 46;
    private const float CheckTopMm = 118;
    private const float StepsTopMm = 160;

    /// <summary>Where the card's top-left corner lies on the sheet, mm.</summary>
    public (double X, double Y) CardAtMm { get; } = ((paper.WidthMm - CardDesign.WidthMm) / 2, CardTopMm);

    /// <summary>Where the 100 mm check line starts on the sheet, mm.</summary>
    public (double X, double Y) CheckLineAtMm { get; } = ((paper.WidthMm - CheckLine.LengthMm) / 2, CheckTopMm);

    public void WritePdf(Stream stream)
    {
        var metadata = new SKDocumentPdfMetadata { Title = "GrainVision scale card" };
        using var document = SKDocument.CreatePdf(stream, metadata);
        var canvas = document.BeginPage((float)(paper.WidthMm * PointsPerMm), (float)(paper.HeightMm * PointsPerMm));
        canvas.Scale((float)PointsPerMm);
        Draw(canvas);
        document.EndPage();
        document.Close();
    }

    public void WritePng(Stream stream, int dpi)
    {
        var pixelsPerMm = dpi / 25.4;
        using var surface = SKSurface.Create(new SKImageInfo(
            (int)Math.Round(paper.WidthMm * pixelsPerMm), (int)Math.Round(paper.HeightMm * pixelsPerMm), SKColorType.Gray8, SKAlphaType.Opaque));
        surface.Canvas.Clear(SKColors.White);
        surface.Canvas.Scale((float)pixelsPerMm);
        Draw(surface.Canvas);
        using var image = surface.Snapshot();
        using var encoded = image.Encode(SKEncodedImageFormat.Png, 100);
        stream.Write(PngResolution.Stamp(encoded.AsSpan(), dpi));
    }

    private void Draw(SKCanvas canvas)
    {
        using var plain = Face("DejaVuSans.ttf");
        using var bold = Face("DejaVuSans-Bold.ttf");
        using var ink = new SKPaint { Color = SKColors.Black, IsAntialias = true };

        Text(canvas, "GrainVision scale card", MarginMm, 26, bold, 6.5f, ink);
        Text(canvas, "Lay it beside the wood in every photo: the measurements take their scale from it.", MarginMm, 33.5f, plain, 3.6f, ink);

        using (new SKAutoCanvasRestore(canvas))
        {
            canvas.Translate((float)CardAtMm.X, (float)CardAtMm.Y);
            CardDrawing.Draw(canvas, plain);
            CropMarks(canvas);
        }

        CheckLine.Draw(canvas, CheckLineAtMm, plain, ink);
        Steps(canvas, plain, bold, ink);
    }

    private static void CropMarks(SKCanvas canvas)
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
        var y = StepsTopMm;
        for (var i = 0; i < steps.Length; i++)
        {
            Text(canvas, $"{i + 1}  {steps[i].Head}", MarginMm, y, bold, 4, ink);
            foreach (var line in steps[i].Lines)
            {
                Text(canvas, line, MarginMm + 24, y, plain, 3.6f, ink);
                y += 6;
            }

            y += 3;
        }
    }

    internal static void Text(SKCanvas canvas, string text, float x, float y, SKTypeface face, float sizeMm, SKPaint ink, SKTextAlign align = SKTextAlign.Left)
    {
        using var font = new SKFont(face, sizeMm) { Subpixel = true, Hinting = SKFontHinting.None };
        canvas.DrawText(text, x, y, align, font, ink);
    }

    private static SKTypeface Face(string name)
    {
        using var stream = Assembly.GetExecutingAssembly().GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"The font {name} is not built in.");
        using var data = SKData.Create(stream);
        return SKTypeface.FromData(data);
    }
}
