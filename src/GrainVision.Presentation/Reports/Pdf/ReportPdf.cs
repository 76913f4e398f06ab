using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>
/// The delivery report as a PDF: a page or two of summary, then a page a piece with its annotated pictures. The same report and pictures give
/// the same bytes; the only dates in it are the report's own, and no name of a machine, person or camera is.
/// </summary>
public static class ReportPdf
{
    /// <summary>Writes the report.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="report">What to write.</param>
    /// <param name="annotatedPicture">The annotated picture (this program's own JPEG or PNG) of the photo with this SHA-256; null where none is kept. Called once a picture, so that not all are held at once.</param>
    public static void Write(Stream stream, DeliveryReport report, Func<string, byte[]?> annotatedPicture)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(report);
        ArgumentNullException.ThrowIfNull(annotatedPicture);
        var metadata = new SKDocumentPdfMetadata
        {
            Title = $"Delivery report: {DeliveryWords.Supplier(report.Delivery)}",
            Creation = report.MadeUtc.UtcDateTime,
            Modified = report.MadeUtc.UtcDateTime,
            RasterDpi = 300,
            EncodingQuality = 80,
        };
        using var document = SKDocument.CreatePdf(stream, metadata);
        using var pen = new PdfPen(document, $"{DeliveryWords.Supplier(report.Delivery)}. {VerdictCautions.Short}");
        SummaryPages.Draw(pen, report);
        foreach (var piece in report.Pieces)
            PiecePage.Draw(pen, report, piece, annotatedPicture);
    }
}
