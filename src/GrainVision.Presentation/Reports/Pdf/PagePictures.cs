using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Presentation.Pictures;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>The annotated pictures of a piece, three beside each other, scaled down: at 40 pieces the file stays under 15 MB.</summary>
internal static class PagePictures
{
    private const int Columns = 3;
    private const float Gap = 8;
    private const float CellWidth = (PdfPen.Width - ((Columns - 1) * Gap)) / Columns;

    /// <summary>150 points, 53 mm: as high as a row is where there is room.</summary>
    private const float GreatestHeight = 150;

    /// <summary>70 points, 25 mm: smaller, and the marks cannot be read in print; the pictures then go on to a page of their own.</summary>
    private const float LeastHeight = 70;

    /// <summary>Label above and gap below a row.</summary>
    private const float RowExtra = 18;

    /// <summary>640 px over 58 mm of paper are 280 dots an inch: more than a printer shows, and a phone can still zoom in.</summary>
    private const int GreatestSidePx = 640;

    /// <summary>48 KB: 40 pieces of 6 pictures are then at most 11.5 MB. A picture too busy for that is coded coarser.</summary>
    private const int GreatestBytes = 48 * 1024;

    /// <summary>6: an end and a face each once, two rows; more photos of one piece are counted, and kept in the record.</summary>
    private const int Most = 6;

    public static void Draw(PdfPen pen, PieceReport report, Func<string, byte[]?> pictureOf)
    {
        var row = new List<(SKImage Image, string Label)>();
        var shown = 0;
        var rows = (Math.Min(Most, report.Findings.Photos.Count) + Columns - 1) / Columns;
        var room = rows == 0 ? 0 : (pen.Left / rows) - RowExtra;
        var height = room >= LeastHeight ? Math.Min(room, GreatestHeight) : GreatestHeight;
        try
        {
            foreach (var photo in Choice(report.Findings.Photos))
            {
                if (shown == Most || pictureOf(photo.Measurement.Photo.Sha256) is not { } bytes || Shrink(bytes, photo.Measurement) is not { } image)
                    continue;
                shown++;
                row.Add((image, Label(photo.Place)));
                if (row.Count == Columns)
                    Flush(pen, row, height);
            }

            Flush(pen, row, height);
        }
        finally
        {
            row.ForEach(r => r.Image.Dispose());
        }

        var rest = report.Findings.Photos.Count - shown;
        if (rest > 0)
            pen.Text($"{Figures.Whole(rest)} more photo{(rest == 1 ? "" : "s")} of this piece, not shown here.", size: 8);
    }

    /// <summary>First one of each surface, then the others.</summary>
    private static IEnumerable<PlacedMeasurement> Choice(IReadOnlyList<PlacedMeasurement> photos)
    {
        var first = photos.GroupBy(p => p.Place.Surface).OrderBy(g => g.Key).Select(g => g.First()).ToList();
        return first.Concat(photos.Where(p => !first.Contains(p)));
    }

    private static string Label(PhotoPlace place) =>
        SurfaceWords.From(place.Surface) + (place.StationMm is { } at ? $", from {Figures.Number(at, 0)} mm" : "");

    private static void Flush(PdfPen pen, List<(SKImage Image, string Label)> row, float height)
    {
        if (row.Count == 0)
            return;
        var heights = row.ConvertAll(r => Math.Min(height, CellWidth * r.Image.Height / r.Image.Width));
        pen.Need(heights.Max() + 14);
        for (var i = 0; i < row.Count; i++)
        {
            var (image, label) = row[i];
            var x = PdfPen.Margin + (i * (CellWidth + Gap));
            PdfInk.Words(pen.Canvas, label, x, pen.Y + 8, 8, bold: true);
            var width = heights[i] * image.Width / image.Height;
            pen.Canvas.DrawImage(image, SKRect.Create(x, pen.Y + 11, width, heights[i]), new SKSamplingOptions(SKFilterMode.Linear));
            image.Dispose();
        }

        pen.Skip(heights.Max() + RowExtra);
        row.Clear();
    }

    /// <summary>
    /// Our own annotated picture, the photo part of it (verdict and numbers stand on the page already), made smaller, as a JPEG that goes into the PDF as it is; null where the bytes are
    /// no picture.
    /// </summary>
    private static SKImage? Shrink(byte[] bytes, Measurement measurement)
    {
        using var codec = SKCodec.Create(new SKMemoryStream(bytes));
        using var full = codec is null ? null : SKBitmap.Decode(codec);
        if (full is null)
            return null;
        using var part = new SKBitmap();
        var layout = new PictureLayout(measurement.Photo.Width, measurement.Photo.Height, measurement);
        var cut = (full.Width, full.Height) == (layout.Width, layout.Height) && full.ExtractSubset(part, new SKRectI(0, layout.StagesTop, layout.Width, layout.StagesEnd));
        var shown = cut ? part : full;
        var k = Math.Min(1.0, (double)GreatestSidePx / Math.Max(shown.Width, shown.Height));
        var size = new SKImageInfo(Math.Max(1, (int)Math.Round(shown.Width * k)), Math.Max(1, (int)Math.Round(shown.Height * k)), SKColorType.Rgba8888, SKAlphaType.Opaque);
        using var small = shown.Resize(size, new SKSamplingOptions(SKFilterMode.Linear, SKMipmapMode.Linear));
        foreach (var quality in (ReadOnlySpan<int>)[78, 64, 50, 36])
        {
            using var jpeg = small?.Encode(SKEncodedImageFormat.Jpeg, quality);
            if (jpeg is not null && (jpeg.Size <= GreatestBytes || quality == 36))
                return SKImage.FromEncodedData(jpeg);
        }

        return null;
    }
}
