using GrainVision.Grading.Cards;
using GrainVision.Grading.Quantities;
using SkiaSharp;

namespace GrainVision.Presentation.Cards;

/// <summary>Draws the printed scale card: one drawing for the sheet, the tests and synthetic photos.</summary>
public static class CardDrawing
{
    /// <summary>The one line of text on the card, below the board.</summary>
    public const string Caption = "GrainVision scale card 1 \u00b7 board 80 mm long: check with a rule";

    /// <summary>2 mm capital-to-descender size: legible on paper, inside the margin, too small to disturb the board.</summary>
    private const float CaptionSizeMm = 2.1f;

    /// <summary>
    /// Draws the card with its top-left corner at the canvas's origin, one canvas unit per millimetre: scale and move the
    /// canvas first. Paints the white ground up to the outline, the board and the caption, no cutting line.
    /// </summary>
    /// <param name="canvas">Where to draw.</param>
    /// <param name="captionFace">Typeface of the caption; null leaves it out.</param>
    public static void Draw(SKCanvas canvas, SKTypeface? captionFace)
    {
        ArgumentNullException.ThrowIfNull(canvas);
        using var white = new SKPaint { Color = SKColors.White, IsAntialias = true };
        using var black = new SKPaint { Color = SKColors.Black, IsAntialias = true };
        canvas.DrawRect(0, 0, (float)CardDesign.WidthMm, (float)CardDesign.HeightMm, white);

        DrawBoard(canvas, black, CardMarkers.BlackCells);
        if (captionFace is null)
            return;
        using var font = new SKFont(captionFace, CaptionSizeMm) { Subpixel = true, Hinting = SKFontHinting.None };
        canvas.DrawText(Caption, (float)CardDesign.QuietMm, (float)(CardDesign.HeightMm - 1.6), SKTextAlign.Left, font, black);
    }

    /// <summary>The chessboard with the markers that <paramref name="cellsOf"/> gives for each place.</summary>
    internal static void DrawBoard(SKCanvas canvas, SKPaint black, Func<int, bool[,]> cellsOf)
    {
        // One path, so that neighbouring cells are painted together and no pale seam shows between them.
        using var builder = new SKPathBuilder();
        for (var row = 0; row < CardDesign.Rows; row++)
        {
            for (var column = 0; column < CardDesign.Columns; column++)
            {
                if (CardDesign.IsBlack(row, column))
                    AddSquare(builder, CardDesign.QuietMm + (column * CardDesign.SquareMm), CardDesign.QuietMm + (row * CardDesign.SquareMm), CardDesign.SquareMm);
            }
        }

        for (var id = 0; id < CardDesign.MarkerCount; id++)
            AddMarker(builder, id, cellsOf(id));
        using var path = builder.Detach();
        canvas.DrawPath(path, black);
    }

    private static void AddMarker(SKPathBuilder path, int id, bool[,] cells)
    {
        const double cell = CardDesign.MarkerMm / CardDesign.MarkerCells;
        var at = CardDesign.MarkerAtMm(id);
        for (var y = 0; y < CardDesign.MarkerCells; y++)
        {
            for (var x = 0; x < CardDesign.MarkerCells; x++)
            {
                if (cells[y, x])
                    AddSquare(path, at.X + (x * cell), at.Y + (y * cell), cell);
            }
        }
    }

    private static void AddSquare(SKPathBuilder path, double x, double y, double side) =>
        path.AddRect(new SKRect((float)x, (float)y, (float)(x + side), (float)(y + side)));
}
