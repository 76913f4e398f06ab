using GrainVision.Grading.Deliveries;
using GrainVision.Measuring.Picture;
using GrainVision.Measuring.Scale;
using SkiaSharp;

namespace GrainVision.Synthesis;

/// <summary>The printed scale card: office paper, laser black, lying in the plane of the surface.</summary>
internal sealed class CardLayer : Layer
{
    /// <summary>0.80 and 0.045: linear brightness of white paper and of toner; common figures, no source.</summary>
    private const float Paper = 0.80f;

    private const float Toner = 0.045f;

    private readonly Picture print;

    /// <param name="pxFromMm">Card mm to photo px.</param>
    /// <param name="card">What a piece card says; null for the plain card.</param>
    /// <param name="photoPixelsPerMm">Scale of the photo.</param>
    public CardLayer(PlaneMap pxFromMm, PieceCard? card, double photoPixelsPerMm)
        : base(pxFromMm, Corners(card))
    {
        print = Print(card, Math.Clamp(photoPixelsPerMm * 2, 6, 40));
    }

    /// <summary>Width and height, mm.</summary>
    public static (double Width, double Height) SizeMm(PieceCard? card) =>
        card is null ? (CardDesign.WidthMm, CardDesign.HeightMm) : (PieceCardDesign.WidthMm, PieceCardDesign.HeightMm);

    private static (double X, double Y)[] Corners(PieceCard? card)
    {
        var (width, height) = SizeMm(card);
        return [(0, 0), (width, 0), (width, height), (0, height)];
    }

    protected override void Shade(Block block, Bilinear x, Bilinear y, float pitch, float[] bgr)
    {
        var k = (float)print.PixelsPerMm;
        var (xr, xd) = x.Gradient();
        var (yr, yd) = y.Gradient();
        for (var row = 0; row < block.Height; row++)
        {
            float px = x.StartOf(row), py = y.StartOf(row), dx = x.StepOf(row), dy = y.StepOf(row);
            var at = row * Block.Size * 3;
            for (var col = 0; col < block.Width; col++, px += dx, py += dy, at += 3)
            {
                var white = 0f;
                for (var s = 0; s < 4; s++)
                {
                    var ox = 0.5f * ((s & 1) - 0.5f);
                    var oy = 0.5f * ((s >> 1) - 0.5f);
                    white += print.At((px + (ox * xr) + (oy * xd)) * k, (py + (ox * yr) + (oy * yd)) * k, 0);
                }

                white /= 4 * 255f;
                var sheet = 1 + (0.015f * Noise.At(px / 0.4f, py / 0.4f, 3.3f)) + (0.03f * Noise.At(px / 40f, py / 30f, 5.3f));
                var v = (Toner + (white * (Paper - Toner))) * sheet;
                bgr[at] = v * 1.01f;
                bgr[at + 1] = v;
                bgr[at + 2] = v * 0.99f;
            }
        }
    }

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
