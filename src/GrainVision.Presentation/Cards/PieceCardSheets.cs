using GrainVision.Grading.Cards;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Cards;

/// <summary>
/// Sheets of piece cards, 2 to 12 a page in two columns, edge to edge so that one cut parts two cards. What room is left at the foot of a page
/// holds the check line. Vector PDF at exact size, the same bytes on every run.
/// </summary>
public sealed class PieceCardSheets
{
    /// <summary>46 mm: check lines with their words, and the line of advice.</summary>
    private const double FootMm = 46;

    private readonly PaperSize _paper;
    private readonly IReadOnlyList<PieceCard> _cards;
    private readonly int _perPage;

    /// <param name="paper">A4 or Letter.</param>
    /// <param name="cards">In the order of printing.</param>
    /// <param name="perPage">2 to 12; an odd number leaves one place empty.</param>
    public PieceCardSheets(PaperSize paper, IReadOnlyList<PieceCard> cards, int perPage)
    {
        ArgumentNullException.ThrowIfNull(paper);
        ArgumentNullException.ThrowIfNull(cards);
        if (perPage is < 2 or > 12)
            throw new ArgumentOutOfRangeException(nameof(perPage), perPage, "2 to 12 cards fit on a page.");
        if (cards.Count == 0)
            throw new ArgumentException("There is no card to print.", nameof(cards));
        (_paper, _cards, _perPage) = (paper, cards, perPage);
    }

    public int Pages => (_cards.Count + _perPage - 1) / _perPage;

    /// <summary>Top-left corner of a place on the page, mm: column by column within a row.</summary>
    public (double X, double Y) PlaceMm(int place)
    {
        var rows = (_perPage + 1) / 2;
        var left = (_paper.WidthMm - (2 * PieceCardDesign.WidthMm)) / 2;
        var room = _paper.HeightMm - (rows * PieceCardDesign.HeightMm);
        var top = Math.Min(room / 2, 14);
        return (left + (place % 2 * PieceCardDesign.WidthMm), top + (place / 2 * PieceCardDesign.HeightMm));
    }

    public void WritePdf(Stream stream)
    {
        using var document = SKDocument.CreatePdf(stream, new SKDocumentPdfMetadata { Title = "GrainVision piece cards" });
        for (var page = 0; page < Pages; page++)
        {
            var canvas = document.BeginPage((float)(_paper.WidthMm * Page.PointsPerMm), (float)(_paper.HeightMm * Page.PointsPerMm));
            canvas.Scale((float)Page.PointsPerMm);
            DrawPage(canvas, page);
            document.EndPage();
        }

        document.Close();
    }

    /// <summary>One page, for a look at it or for tests: grey, <paramref name="dpi"/> dots per inch.</summary>
    public byte[] PagePng(int page, int dpi)
    {
        var scale = dpi / 25.4;
        using var surface = SKSurface.Create(new SKImageInfo(
            (int)Math.Round(_paper.WidthMm * scale), (int)Math.Round(_paper.HeightMm * scale), SKColorType.Gray8, SKAlphaType.Opaque));
        surface.Canvas.Clear(SKColors.White);
        surface.Canvas.Scale((float)scale);
        DrawPage(surface.Canvas, page);
        using var image = surface.Snapshot();
        using var encoded = image.Encode(SKEncodedImageFormat.Png, 100);
        return PngResolution.Stamp(encoded.AsSpan(), dpi);
    }

    private void DrawPage(SKCanvas canvas, int page)
    {
        var onPage = _cards.Skip(page * _perPage).Take(_perPage).ToList();
        for (var i = 0; i < onPage.Count; i++)
        {
            using var restore = new SKAutoCanvasRestore(canvas);
            var (x, y) = PlaceMm(i);
            canvas.Translate((float)x, (float)y);
            PieceCardDrawing.Draw(canvas, onPage[i], BundledFont.Regular, BundledFont.Bold);
        }

        CutLines(canvas, onPage.Count);
        Foot(canvas);
    }

    private static void Line(SKCanvas canvas, SKPaint hair, double x0, double y0, double x1, double y1) =>
        canvas.DrawLine((float)x0, (float)y0, (float)x1, (float)y1, hair);

    /// <summary>Dashed, through all places that hold a card.</summary>
    private void CutLines(SKCanvas canvas, int count)
    {
        using var dashes = SKPathEffect.CreateDash([1.5f, 1.5f], 0);
        using var hair = new SKPaint { Color = new SKColor(110, 110, 110), IsStroke = true, StrokeWidth = 0.15f, IsAntialias = true, PathEffect = dashes };
        for (var i = 0; i < count; i++)
        {
            var (x, y) = PlaceMm(i);
            var (right, bottom) = (x + PieceCardDesign.WidthMm, y + PieceCardDesign.HeightMm);
            Line(canvas, hair, x, bottom, right, bottom);
            Line(canvas, hair, right, y, right, bottom);
            if (i < 2)
                Line(canvas, hair, x, y, right, y);
            if (i % 2 == 0)
                Line(canvas, hair, x, y, x, bottom);
        }
    }

    private void Foot(SKCanvas canvas)
    {
        var (_, top) = PlaceMm(_perPage + (_perPage % 2));
        if (_paper.HeightMm - top < FootMm)
            return;
        using var ink = new SKPaint { Color = SKColors.Black, IsAntialias = true };
        CheckLine.Draw(canvas, ((_paper.WidthMm - CheckLine.LengthMm) / 2, top + 18), BundledFont.Regular, ink);
        Page.Text(
            canvas, "Print at 100 %, cut along the dashes, lay each card flat beside its surface, level with the wood, alone in the picture.",
            (float)(_paper.WidthMm / 2), (float)top + 8, BundledFont.Regular, 3.1f, ink, SKTextAlign.Center);
    }
}
