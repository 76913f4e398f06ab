using GrainVision.Measuring.Picture;
using GrainVision.Measuring.Scale;
using SkiaSharp;

namespace GrainVision.Synthesis;

/// <summary>The printed scale card, lying in the plane of the surface.</summary>
internal static class CardLayer
{
    public static PrintLayer Of(PlaneMap pxFromMm, double photoPixelsPerMm) => new(pxFromMm, Print(Math.Clamp(photoPixelsPerMm * 2, 6, 40)), CardDesign.WidthMm, CardDesign.HeightMm);

    private static Picture Print(double pixelsPerMm)
    {
        int width = (int)Math.Ceiling(CardDesign.WidthMm * pixelsPerMm), height = (int)Math.Ceiling(CardDesign.HeightMm * pixelsPerMm);
        using var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Gray8, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.White);
        canvas.Scale((float)pixelsPerMm);
        CardDrawing.Draw(canvas, BundledFont.Regular);
        canvas.Flush();
        return new Picture(width, height, 1, bitmap.GetPixelSpan().ToArray(), bitmap.RowBytes, pixelsPerMm);
    }
}
