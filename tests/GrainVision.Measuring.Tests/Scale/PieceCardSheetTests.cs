using GrainVision.Grading.Cards;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Presentation.Cards;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Scale;

/// <summary>The printed sheets of piece cards, read as a scanner would show them.</summary>
public sealed class PieceCardSheetTests
{
    private static readonly List<PieceCard> Cards = [.. from n in new[] { 9, 200 } from s in Enum.GetValues<Surface>() select new PieceCard(n, s)];

    [Theory]
    [InlineData(12, "a4")]
    [InlineData(12, "letter")]
    [InlineData(5, "letter")]
    public void PieceCardSheets_EveryPlace_CardReadsAndMeasuresTrue(int perPage, string paper)
    {
        const int dpi = 150;
        var size = paper == "a4" ? PaperSize.A4 : PaperSize.Letter;
        var sheets = new PieceCardSheets(size, Cards, perPage);
        Assert.Equal((12 + perPage - 1) / perPage, sheets.Pages);
        var outcome = PhotoIntake.Decode(sheets.PagePng(0, dpi), new IntakeLimits(), CancellationToken.None);
        Assert.True(outcome.TryGet(out var page, out var refusal), refusal?.Message);
        using (page)
        {
            for (var place = 0; place < perPage; place++)
            {
                var (x, y) = sheets.PlaceMm(place);

                // 4 mm, the margin that office printers cannot print on.
                Assert.InRange(x, 4, size.WidthMm - PieceCardDesign.WidthMm - 4);
                Assert.InRange(y, 4, size.HeightMm - PieceCardDesign.HeightMm - 4);
                var cut = new Rect((int)(x * dpi / 25.4), (int)(y * dpi / 25.4), (int)(PieceCardDesign.WidthMm * dpi / 25.4), (int)(PieceCardDesign.HeightMm * dpi / 25.4));
                using var view = new Mat(page.Bgr, cut);
                using var photo = new UprightPhoto(view.Clone(), new string('0', 64), []);
                Assert.True(ScaleStage.Find(photo, new CardScale(), CancellationToken.None).TryGet(out var scale, out refusal), refusal?.Code);
                Assert.Equal(Cards[place], scale.Finding.Card);
                Assert.InRange(scale.Finding.PixelsPerMm.Value / (dpi / 25.4), 0.999, 1.001);
            }

            // The whole sheet in one photo belongs to no piece.
            using var search = new CardSearch(page);
            Assert.False(PieceCardReader.Find(search, CancellationToken.None).TryGet(out _, out refusal));
            Assert.Equal("piece-cards-disagree", refusal!.Code);
        }
    }

    [Fact]
    public void PieceCardSheets_Pdf_SameBytesTwice()
    {
        using var first = new MemoryStream();
        using var second = new MemoryStream();
        new PieceCardSheets(PaperSize.A4, Cards, 6).WritePdf(first);
        new PieceCardSheets(PaperSize.A4, Cards, 6).WritePdf(second);
        Assert.Equal(first.ToArray(), second.ToArray());
    }
}
