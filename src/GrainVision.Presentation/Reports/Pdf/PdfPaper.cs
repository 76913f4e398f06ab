using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>
/// A PDF with title and language. The same content gives the same bytes; the only dates in it are the report's own, and no name of a machine or camera is.
/// Skia writes tags for nothing that SkiaSharp can reach: a reader hears the words in the order in which they are drawn, without headings.
/// </summary>
internal static partial class PdfPaper
{
    public static void Write(Stream stream, string title, DateTimeOffset made, string footer, Action<PdfPen> draw)
    {
        var metadata = new SKDocumentPdfMetadata { Title = title, Creation = made.UtcDateTime, Modified = made.UtcDateTime, RasterDpi = 300, EncodingQuality = 80 };
        using var held = new MemoryStream();
        using (var document = SKDocument.CreatePdf(held, metadata))
        using (var pen = new PdfPen(document, footer))
            draw(pen);
        var bytes = held.ToArray();
        stream.Write(bytes);
        stream.Write(Language(bytes));
    }

    /// <summary>
    /// The catalogue once more, with the language, as an incremental update (ISO 32000-1, 7.5.6): what Skia wrote stays as it is.
    /// Nothing where Skia should write its trailer in another way.
    /// </summary>
    private static byte[] Language(byte[] pdf)
    {
        var tail = Encoding.Latin1.GetString(pdf, Math.Max(0, pdf.Length - 1024), Math.Min(1024, pdf.Length));
        if (Trailer().Match(tail) is not { Success: true } trailer)
            return [];
        var whole = Encoding.Latin1.GetString(pdf);
        var root = trailer.Groups["root"].Value;
        var from = whole.IndexOf($"\n{root} 0 obj\n<<", StringComparison.Ordinal);
        var to = from < 0 ? -1 : whole.IndexOf(">>\nendobj", from, StringComparison.Ordinal);
        if (to < 0)
            return [];
        var catalogue = whole[(from + 1)..to];
        var at = pdf.Length + 1;
        var update = $"\n{catalogue}\n/Lang (en)>>\nendobj\n";
        var table = (pdf.Length + update.Length).ToString(CultureInfo.InvariantCulture);
        return Encoding.Latin1.GetBytes(
            $"{update}xref\n{root} 1\n{at.ToString("D10", CultureInfo.InvariantCulture)} 00000 n \ntrailer\n<<{trailer.Groups["entries"].Value.Trim()}\n/Prev {trailer.Groups["start"].Value}>>\nstartxref\n{table}\n%%EOF\n");
    }

    [GeneratedRegex(@"trailer\s*<<(?<entries>(?:(?!trailer).)*?/Root (?<root>\d+) 0 R(?:(?!trailer).)*?)>>\s*startxref\s+(?<start>\d+)\s+%%EOF\s*$", RegexOptions.Singleline)]
    private static partial Regex Trailer();
}
