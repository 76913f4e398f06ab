using System.Globalization;
using GrainVision.Grading.Cards;
using GrainVision.Grading.Quantities;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Cards;

/// <summary>
/// The sheet with the check target: a block of ring-like bands of exact pitch and angle, the scale card, the marker that names the bands,
/// check lines, and in words what was printed. The same bytes on every run.
/// </summary>
public sealed class CheckTargetSheet(PaperSize paper, TargetBands bands)
{
    private const string Title = "GrainVision check target";
    private const float MarginMm = 20;
    private const float BlockTopMm = 50;
    private const float StepsTopMm = 226;

    /// <summary>Where the card's top-left corner lies on the sheet, mm.</summary>
    public PointPx CardAtMm { get; } = new((paper.WidthMm - CheckTargetDesign.BlockLengthMm) / 2, BlockTopMm + CheckTargetDesign.BlockHeightMm + CheckTargetDesign.GapMm);

    public void WritePdf(Stream stream) => Page.WritePdf(stream, paper, Title, Draw);

    public void WriteSvg(Stream stream) => Page.WriteSvg(stream, paper, Draw);

    public void WritePng(Stream stream, int dpi) => Page.WritePng(stream, paper, dpi, SKColorType.Rgba8888, Draw);

    private void Draw(SKCanvas canvas)
    {
        var (plain, bold) = (BundledFont.Regular, BundledFont.Bold);
        using var ink = new SKPaint { Color = SKColors.Black, IsAntialias = true };
        Page.Text(canvas, Title, MarginMm, 24, bold, 6.5f, ink);
        Page.Text(canvas, Words(), MarginMm, 31.5f, plain, 3.6f, ink);
        Page.Text(canvas, Marked(), MarginMm, 37f, plain, 3.6f, ink);

        using (new SKAutoCanvasRestore(canvas))
        {
            canvas.Translate((float)CardAtMm.X, (float)CardAtMm.Y);
            TargetBlock.Draw(canvas, bands);
            CardDrawing.Draw(canvas, plain);
            if (CheckTargetDesign.MarkerIdOf(bands) is { } id)
                Marker(canvas, id, ink);
        }

        CheckLine.Draw(canvas, (CardAtMm.X + CheckTargetDesign.CheckLineAtMm.X, CardAtMm.Y + CheckTargetDesign.CheckLineAtMm.Y), plain, ink, "Hold these two lengths against a steel rule first.");
        Page.Steps(canvas, Steps(), MarginMm, StepsTopMm, 5, plain, bold, ink);
    }

    private string Words() => string.Create(
        CultureInfo.InvariantCulture,
        $"Printed: bands every {bands.PitchMm:0.0##} mm = {bands.PerInch:0.00} rings per inch, at {bands.AngleDegrees:0.0#} degrees to the block\u2019s long side;");

    private string Marked() => string.Create(
        CultureInfo.InvariantCulture,
        $"block {CheckTargetDesign.BlockLengthMm:0} x {CheckTargetDesign.BlockHeightMm:0} mm. {(CheckTargetDesign.MarkerIdOf(bands) is null ? "No marker names these bands: state them when you send the photo." : "The square marker says so to the program.")}");

    private (string Head, string[] Lines)[] Steps() =>
    [
        ("Print", ["at 100 %: \u201cactual size\u201d, no \u201cfit to page\u201d, on matt white paper."]),
        ("Check", [
            "the lines above: 100.0 mm and 4.000 in, within 0.2 mm. A page printed too small",
            "shrinks card and bands alike, so no photo of it can show the fault:",
            "only these lines do, or a steel rule laid on the sheet.",
        ]),
        ("Shoot", ["the sheet flat, phone parallel; block, card and marker in the picture, no glare."]),
        ("Send", [
            CheckTargetDesign.MarkerIdOf(bands) is null
                ? string.Create(CultureInfo.InvariantCulture, $"grainvision check-target PHOTO --pitch-mm {bands.PitchMm} --angle-deg {bands.AngleDegrees}")
                : "grainvision check-target PHOTO, or POST /v1/measurements with view end.",
        ]),
    ];

    private static void Marker(SKCanvas canvas, int id, SKPaint ink)
    {
        const double cell = CheckTargetDesign.MarkerMm / CardDesign.MarkerCells;
        var black = CardMarkers.BlackCells(id);
        using var builder = new SKPathBuilder();
        for (var row = 0; row < CardDesign.MarkerCells; row++)
        {
            for (var column = 0; column < CardDesign.MarkerCells; column++)
            {
                var (x, y) = (CheckTargetDesign.MarkerAtMm.X + (column * cell), CheckTargetDesign.MarkerAtMm.Y + (row * cell));
                if (black[row, column])
                    builder.AddRect(new SKRect((float)x, (float)y, (float)(x + cell), (float)(y + cell)));
            }
        }

        using var path = builder.Detach();
        canvas.DrawPath(path, ink);
    }
}
