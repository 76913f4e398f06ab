using GrainVision.Grading.Cards;
using GrainVision.Grading.Findings;
using GrainVision.Presentation.Cards;
using GrainVision.Presentation.Pictures;
using GrainVision.Presentation.Reports.Pdf;
using GrainVision.Presentation.Reports.Tables;
using GrainVision.Presentation.Tests.Pictures;
using GrainVision.Presentation.Tests.Reports;

namespace GrainVision.Presentation.Tests;

/// <summary>What a person looks at, held against what it was when one last looked. Source of each: our own drawing, looked at by its maker.</summary>
public class GoldenTests
{
    [Theory]
    [InlineData("end-accept")]
    [InlineData("end-hold-fine-rings")]
    [InlineData("face-reject")]
    [InlineData("face-dark-clean")]
    [InlineData("nothing-at-all")]
    public void PictureAndItsWords_AreTheGoldenOnes(string sample)
    {
        var (photo, m) = Samples.Make(sample);
        using (photo)
        {
            var drawn = PictureDrawer.Draw(photo.Pixels, m, Samples.Work, CancellationToken.None, PictureFormat.Png);
            Golden.CheckText(sample + ".txt", drawn.AltText);
            Golden.CheckPicture(sample + ".png", drawn.Bytes);
        }
    }

    [Fact]
    public void CardSheet_IsTheGoldenOne() => Golden.CheckPicture("card-sheet.png", Png(s => new CardSheet(PaperSize.A4).WritePng(s, 150)));

    [Fact]
    public void CheckTargetSheet_IsTheGoldenOne() =>
        Golden.CheckPicture("check-target-sheet.png", Png(s => new CheckTargetSheet(PaperSize.Letter, CheckTargetDesign.Listed[0]).WritePng(s, 150)));

    [Fact]
    public void PieceCards_AreTheGoldenOnes() => Golden.CheckPicture(
        "piece-cards.png", new PieceCardSheets(PaperSize.A4, [.. Enum.GetValues<Surface>().Select(s => new PieceCard(307, s))], 12).PagePng(0, 150));

    [Theory]
    [InlineData("uses")]
    [InlineData("pieces")]
    [InlineData("questions")]
    public void Table_IsTheGoldenOne(string name) => Golden.CheckText(
        $"table-{name}.csv", System.Text.Encoding.UTF8.GetString(ReportTables.Write(name, SampleReports.Make(4, complete: false))[3..]).ReplaceLineEndings("\n")); // git keeps text with line feeds alone

    [Fact]
    public void MillLetter_Words_AreTheGoldenOnes() => CheckPaper("mill-letter.txt", s => MillLetter.Write(s, SampleReports.Make(4, complete: false), [], _ => null));

    [Fact]
    public void ShopSheet_Words_AreTheGoldenOnes() => CheckPaper("shop-sheet.txt", s => ShopSheet.Write(s, SampleReports.Make(4)));

    [Fact]
    public void InspectionRecord_Words_AreTheGoldenOnes()
    {
        var report = SampleReports.Make(4);
        CheckPaper("inspection-record.txt", s => InspectionRecord.Write(s, report.Delivery, report.Pieces[3], [], report.MadeUtc, _ => null));
    }

    /// <summary>The words of a PDF as another library reads them, a line of paper a line.</summary>
    private static void CheckPaper(string name, Action<Stream> write)
    {
        using var stream = new MemoryStream();
        write(stream);
        using var pdf = UglyToad.PdfPig.PdfDocument.Open(stream.ToArray());
        var lines = pdf.GetPages().SelectMany(p => p.GetWords().GroupBy(w => Math.Round(w.BoundingBox.Bottom / 3)).Select(l => string.Join(' ', l.Select(w => w.Text))));
        Golden.CheckText(name, string.Join('\n', lines) + "\n");
    }

    private static byte[] Png(Action<Stream> write)
    {
        using var stream = new MemoryStream();
        write(stream);
        return stream.ToArray();
    }
}
