using System.Buffers.Binary;
using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using GrainVision.Grading.Cards;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Presentation.Cards;
using OpenCvSharp;
using SkiaSharp;

namespace GrainVision.Measuring.Tests.Scale;

/// <summary>The sheet as it goes to the printer: its size, and the card measured on it.</summary>
public sealed partial class CardSheetTests
{
    [Theory]
    [InlineData("a4", 300)]
    [InlineData("letter", 600)]
    [InlineData("a4", 600)]
    public void CardSheet_Png_CardMeasuresTrueWithinATenthOfAPercent(string paper, int dpi)
    {
        var size = paper == "a4" ? PaperSize.A4 : PaperSize.Letter;
        var sheet = new CardSheet(size);
        using var stream = new MemoryStream();
        sheet.WritePng(stream, dpi);
        using var photo = Decode(stream.ToArray());

        // ISO 216: A4 is 210 x 297 mm. ANSI/ASME Y14.1: letter is 8.5 x 11 in.
        Assert.InRange(photo.Width / (dpi / 25.4), size.WidthMm - 0.05, size.WidthMm + 0.05);
        Assert.InRange(photo.Height / (dpi / 25.4), size.HeightMm - 0.05, size.HeightMm + 0.05);
        Assert.True(ScaleStage.Find(photo, new CardScale(), CancellationToken.None).TryGet(out var scale, out var refusal), refusal?.Code);

        // The pitch on the card itself. (Reported is that at the middle of the sheet, 75 mm away: the drawing program's quarter-pixel
        // steps at 300 dpi become 0.1 % there, 0.01 % at 600.)
        var middle = OnSheet(sheet.CardAtMm.X + (CardDesign.WidthMm / 2), sheet.CardAtMm.Y + (CardDesign.HeightMm / 2), dpi);
        Assert.InRange(scale.PixelsPerMmAt(middle) / (dpi / 25.4), 0.999, 1.001);
        Assert.InRange(scale.Finding.PixelsPerMm.Value / (dpi / 25.4), 0.998, 1.002);

        // And the 100 mm check line, measured through the card, is 100 mm.
        var a = scale.ToMm(OnSheet(sheet.CheckLineAtMm.X, sheet.CheckLineAtMm.Y, dpi));
        var b = scale.ToMm(OnSheet(sheet.CheckLineAtMm.X + 100, sheet.CheckLineAtMm.Y, dpi));
        Assert.InRange(b.DistanceTo(a), 99.9, 100.1);
    }

    [Fact]
    public void CardSheet_Png_SaysItsResolution()
    {
        using var stream = new MemoryStream();
        new CardSheet(PaperSize.A4).WritePng(stream, 600);
        var png = stream.ToArray();

        // pHYs right after IHDR (ISO/IEC 15948 section 11.3.4.3): 600 dpi is 23,622 pixels per metre.
        Assert.Equal("pHYs", Encoding.ASCII.GetString(png, 37, 4));
        Assert.Equal(23_622, BinaryPrimitives.ReadInt32BigEndian(png.AsSpan(41)));
        Assert.Equal(1, png[49]);
    }

    [Theory]
    [InlineData("a4", 210, 297)]
    [InlineData("letter", 215.9, 279.4)]
    public void CardSheet_Pdf_PageHasThePapersSizeAndSameBytesTwice(string paper, double widthMm, double heightMm)
    {
        var sheet = new CardSheet(paper == "a4" ? PaperSize.A4 : PaperSize.Letter);
        using var first = new MemoryStream();
        using var second = new MemoryStream();
        sheet.WritePdf(first);
        sheet.WritePdf(second);

        var box = MediaBox().Match(Encoding.Latin1.GetString(first.ToArray()));
        Assert.True(box.Success);

        // The writer rounds the page to whole points (0.35 mm); what is drawn on it is not scaled.
        Assert.InRange(double.Parse(box.Groups[1].Value, CultureInfo.InvariantCulture) * 25.4 / 72, widthMm - 0.2, widthMm + 0.2);
        Assert.InRange(double.Parse(box.Groups[2].Value, CultureInfo.InvariantCulture) * 25.4 / 72, heightMm - 0.2, heightMm + 0.2);
        Assert.Equal(first.ToArray(), second.ToArray());
    }

    private static PointPx OnSheet(double xMm, double yMm, int dpi) => new((xMm * dpi / 25.4) - 0.5, (yMm * dpi / 25.4) - 0.5);

    internal static UprightPhoto Decode(byte[] png)
    {
        var width = BinaryPrimitives.ReadInt32BigEndian(png.AsSpan(16));
        var height = BinaryPrimitives.ReadInt32BigEndian(png.AsSpan(20));
        using var bitmap = SKBitmap.Decode(png, new SKImageInfo(width, height, SKColorType.Gray8, SKAlphaType.Opaque));
        using var gray = Mat.FromPixelData(bitmap.Height, bitmap.Width, MatType.CV_8UC1, bitmap.GetPixels(), bitmap.RowBytes);
        var bgr = new Mat();
        Cv2.CvtColor(gray, bgr, ColorConversionCodes.GRAY2BGR);
        return new UprightPhoto(bgr, "", []);
    }

    [GeneratedRegex(@"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]")]
    private static partial Regex MediaBox();
}
