using GrainVision.Grading.Cards;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Measuring.Scale;
using GrainVision.Presentation.Cards;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Synthesis;

/// <summary>The printed scale card, lying in the plane of the surface.</summary>
internal static class CardLayer
{
    /// <param name="pxFromMm">Card mm to photo px.</param>
    /// <param name="card">What a piece card says; null for the plain card.</param>
    /// <param name="photoPixelsPerMm">Scale of the photo.</param>
    public static PrintLayer Of(PlaneMap pxFromMm, PieceCard? card, double photoPixelsPerMm)
    {
        var (width, height) = SizeMm(card);
        return new PrintLayer(pxFromMm, Print(card, Math.Clamp(photoPixelsPerMm * 2, 6, 40)), width, height);
    }

    /// <summary>Width and height, mm.</summary>
    public static (double Width, double Height) SizeMm(PieceCard? card) =>
        card is null ? (CardDesign.WidthMm, CardDesign.HeightMm) : (PieceCardDesign.WidthMm, PieceCardDesign.HeightMm);

    private static Picture Print(PieceCard? card, double pixelsPerMm)
    {
        var size = SizeMm(card);
        int width = (int)Math.Ceiling(size.Width * pixelsPerMm), height = (int)Math.Ceiling(size.Height * pixelsPerMm);
        using var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Gray8, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.White);
        canvas.Scale((float)pixelsPerMm);
        if (card is null)
            CardDrawing.Draw(canvas, BundledFont.Regular);
        else
            PieceCardDrawing.Draw(canvas, card, BundledFont.Regular, BundledFont.Bold);
        canvas.Flush();
        return new Picture(width, height, 1, bitmap.GetPixelSpan().ToArray(), bitmap.RowBytes, pixelsPerMm);
    }
}
