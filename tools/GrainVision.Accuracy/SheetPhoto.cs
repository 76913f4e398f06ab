using GrainVision.Grading.Cards;
using GrainVision.Grading.Findings;
using GrainVision.Presentation.Cards;
using GrainVision.Synthesis;
using SkiaSharp;

namespace GrainVision.Accuracy;

/// <summary>Check targets printed and photographed by the synthesiser's camera.</summary>
public static class SheetPhoto
{
    /// <summary>300 dpi: as an office printer resolves halftones; finer than a photo of the whole target at 3 MP.</summary>
    private const int Dpi = 300;

    /// <summary>8 mm of white round what is to be shown.</summary>
    private const double MarginMm = 8;

    /// <summary>A JPEG of the block, the card and the marker.</summary>
    /// <param name="bands">What is printed.</param>
    /// <param name="paper">On which sheet.</param>
    /// <param name="printedAt">1: at 100 %; 0.97: the printer shrank the page.</param>
    /// <param name="seed">Of light and camera.</param>
    /// <param name="difficulty">Of light and camera.</param>
    /// <param name="megapixels">Of the photo.</param>
    /// <param name="rule">A steel rule laid on the sheet below the card, or none.</param>
    /// <param name="greyPrinter">True for a printer without colours.</param>
    public static byte[] Jpeg(
        TargetBands bands, PaperSize paper, double printedAt, int seed, Difficulty difficulty, double megapixels, ScaleProp rule = ScaleProp.None, bool greyPrinter = false)
    {
        var sheet = new CheckTargetSheet(paper, bands);
        using var png = new MemoryStream();
        sheet.WritePng(png, Dpi);
        var picture = Decode(png.ToArray(), Dpi / 25.4 / printedAt, greyPrinter);
        double width = CheckTargetDesign.BlockLengthMm, height = CheckTargetDesign.BlockHeightMm + CheckTargetDesign.GapMm + CardDesign.HeightMm;
        var frame = new SceneRequest
        {
            Seed = seed,
            View = View.End,
            Difficulty = difficulty,
            Megapixels = megapixels,
            Species = "sitka-spruce",
            RingsPerInch = bands.PerInch,
            WidthMm = (width * printedAt) + (2 * MarginMm),
            ThicknessMm = (height * printedAt) + (2 * MarginMm),
            Scale = rule,
            Blemishes = [],
        };
        var middleX = (sheet.CardAtMm.X + CheckTargetDesign.BlockAtMm.X + (width / 2)) * printedAt;
        var middleY = (sheet.CardAtMm.Y + CheckTargetDesign.BlockAtMm.Y + (height / 2)) * printedAt;
        return Synthesiser.PhotographSheet(picture, frame, middleX, middleY);
    }

    private static Picture Decode(byte[] png, double pixelsPerMm, bool grey)
    {
        using var bitmap = SKBitmap.Decode(png);
        var bgr = new byte[bitmap.Width * bitmap.Height * 3];
        var pixels = bitmap.Pixels;
        for (var i = 0; i < pixels.Length; i++)
        {
            var c = pixels[i];
            var mean = (byte)Math.Round((0.114 * c.Blue) + (0.587 * c.Green) + (0.299 * c.Red));
            (bgr[3 * i], bgr[(3 * i) + 1], bgr[(3 * i) + 2]) = grey ? (mean, mean, mean) : (c.Blue, c.Green, c.Red);
        }

        return new Picture(bitmap.Width, bitmap.Height, 3, bgr, bitmap.Width * 3, pixelsPerMm);
    }
}
