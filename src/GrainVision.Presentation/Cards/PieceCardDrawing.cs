using System.Globalization;
using GrainVision.Grading.Cards;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using SkiaSharp;

namespace GrainVision.Presentation.Cards;

/// <summary>Draws a piece card: one drawing for the sheets, the tests and synthetic photos.</summary>
public static class PieceCardDrawing
{
    /// <summary>15.2 mm of the panel's 17.5 mm for the text: cutting may be a little off.</summary>
    private const float TextWidthMm = 15.2f;

    /// <summary>13 mm: figures 9.5 mm high, the largest of which two fit side by side; read at four paces.</summary>
    private const float GreatestFigureSizeMm = 13;

    /// <summary>
    /// Draws the card with its top-left corner at the canvas's origin, one canvas unit per millimetre: scale and move the canvas first.
    /// Paints the white ground up to the outline, the board and the panel, no cutting line.
    /// </summary>
    /// <param name="canvas">Where to draw.</param>
    /// <param name="card">Piece number 1 to <see cref="PieceCardCode.GreatestNumber"/> and surface.</param>
    /// <param name="plain">Typeface of the small print; null leaves out all words.</param>
    /// <param name="bold">Typeface of number and surface.</param>
    /// <exception cref="ArgumentOutOfRangeException">The number cannot be coded.</exception>
    public static void Draw(SKCanvas canvas, PieceCard card, SKTypeface? plain, SKTypeface? bold)
    {
        ArgumentNullException.ThrowIfNull(canvas);
        ArgumentNullException.ThrowIfNull(card);
        using var white = new SKPaint { Color = SKColors.White, IsAntialias = true };
        using var black = new SKPaint { Color = SKColors.Black, IsAntialias = true };
        canvas.DrawRect(0, 0, (float)PieceCardDesign.WidthMm, (float)PieceCardDesign.HeightMm, white);
        var markers = PieceCardDesign.Markers(card);
        using (new SKAutoCanvasRestore(canvas))
        {
            canvas.Translate((float)-PieceCardDesign.TopLeftMm.X, (float)-PieceCardDesign.TopLeftMm.Y);
            CardDrawing.DrawBoard(canvas, black, i => markers[i]);
        }

        if (plain is null || bold is null)
            return;
        var middle = (float)(PieceCardDesign.PanelAtMm + PieceCardDesign.WidthMm) / 2;
        Text(canvas, "PIECE", middle, 6.5f, plain, 3.2f, black);
        var figures = card.PieceNumber.ToString(CultureInfo.InvariantCulture);
        var size = Fit(figures, bold, GreatestFigureSizeMm);
        Text(canvas, figures, middle, 12.5f + (size * 0.4f), bold, size, black);
        Text(canvas, SurfaceWords.From(card.Surface), middle, 27f, bold, Fit(SurfaceWords.From(card.Surface), bold, 5.4f), black);
        Text(canvas, "board 80 mm:", middle, 34.5f, plain, 2.1f, black);
        Text(canvas, "check with a rule", middle, 37.3f, plain, 1.75f, black);
        Text(canvas, "GrainVision", middle, 41.5f, plain, 2.1f, black);
    }

    private static float Fit(string text, SKTypeface face, float greatest)
    {
        using var font = new SKFont(face, 10) { Subpixel = true, Hinting = SKFontHinting.None };
        return Math.Min(greatest, 10 * TextWidthMm / font.MeasureText(text));
    }

    private static void Text(SKCanvas canvas, string text, float middle, float baseline, SKTypeface face, float size, SKPaint ink)
    {
        using var font = new SKFont(face, size) { Subpixel = true, Hinting = SKFontHinting.None };
        canvas.DrawText(text, middle, baseline, SKTextAlign.Center, font, ink);
    }
}
