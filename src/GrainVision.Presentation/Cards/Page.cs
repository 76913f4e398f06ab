using SkiaSharp;

namespace GrainVision.Presentation.Cards;

/// <summary>Writes what is drawn in millimetres as a page of exact size.</summary>
internal static class Page
{
    /// <summary>Points per mm: PDF counts in 1/72 in.</summary>
    public const double PointsPerMm = 72 / 25.4;

    /// <summary>CSS pixels per mm: SVG counts in 1/96 in.</summary>
    private const double CssPixelsPerMm = 96 / 25.4;

    public static void WritePdf(Stream stream, PaperSize paper, string title, Action<SKCanvas> draw)
    {
        var metadata = new SKDocumentPdfMetadata { Title = title };
        using var document = SKDocument.CreatePdf(stream, metadata);
        var canvas = document.BeginPage((float)(paper.WidthMm * PointsPerMm), (float)(paper.HeightMm * PointsPerMm));
        canvas.Scale((float)PointsPerMm);
        draw(canvas);
        document.EndPage();
        document.Close();
    }

    /// <summary>An SVG whose width and height are written in mm, so that programs keep its size.</summary>
    public static void WriteSvg(Stream stream, PaperSize paper, Action<SKCanvas> draw)
    {
        using var buffer = new MemoryStream();
        double width = paper.WidthMm * CssPixelsPerMm, height = paper.HeightMm * CssPixelsPerMm;
        using (var canvas = SKSvgCanvas.Create(new SKRect(0, 0, (float)width, (float)height), buffer))
        {
            canvas.Scale((float)CssPixelsPerMm);
            draw(canvas);
        }

        var svg = System.Text.Encoding.UTF8.GetString(buffer.ToArray());
        var from = svg.IndexOf(" width=\"", StringComparison.Ordinal);
        var to = svg.IndexOf('>', from);
        var size = FormattableString.Invariant($" width=\"{paper.WidthMm:0.###}mm\" height=\"{paper.HeightMm:0.###}mm\" viewBox=\"0 0 {width:0.####} {height:0.####}\"");
        stream.Write(System.Text.Encoding.UTF8.GetBytes(svg[..from] + size + svg[to..]));
    }

    public static void WritePng(Stream stream, PaperSize paper, int dpi, SKColorType colours, Action<SKCanvas> draw)
    {
        var pixelsPerMm = dpi / 25.4;
        using var surface = SKSurface.Create(new SKImageInfo(
            (int)Math.Round(paper.WidthMm * pixelsPerMm), (int)Math.Round(paper.HeightMm * pixelsPerMm), colours, SKAlphaType.Opaque));
        surface.Canvas.Clear(SKColors.White);
        surface.Canvas.Scale((float)pixelsPerMm);
        draw(surface.Canvas);
        using var image = surface.Snapshot();
        using var encoded = image.Encode(SKEncodedImageFormat.Png, 100);
        stream.Write(PngResolution.Stamp(encoded.AsSpan(), dpi));
    }

    public static void Text(SKCanvas canvas, string text, float x, float y, SKTypeface face, float sizeMm, SKPaint ink, SKTextAlign align = SKTextAlign.Left)
    {
        using var font = new SKFont(face, sizeMm) { Subpixel = true, Hinting = SKFontHinting.None };
        canvas.DrawText(text, x, y, align, font, ink);
    }

    /// <summary>A numbered list: bold heads, lines beside them. Gives the y below it.</summary>
    public static float Steps(SKCanvas canvas, (string Head, string[] Lines)[] steps, float x, float y, float lineMm, SKTypeface plain, SKTypeface bold, SKPaint ink)
    {
        for (var i = 0; i < steps.Length; i++)
        {
            Text(canvas, $"{i + 1}  {steps[i].Head}", x, y, bold, 4, ink);
            foreach (var line in steps[i].Lines)
            {
                Text(canvas, line, x + 24, y, plain, 3.6f, ink);
                y += lineMm;
            }

            y += lineMm / 2;
        }

        return y;
    }
}
