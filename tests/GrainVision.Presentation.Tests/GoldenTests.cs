using GrainVision.Grading.Cards;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Presentation.Cards;
using GrainVision.Presentation.Pictures;
using GrainVision.Presentation.Reports;
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

    [Fact]
    public void DeliveryReport_WordsAndTable_AreTheGoldenOnes()
    {
        var report = SampleReports.Make(4, complete: false);
        Golden.CheckText("report.txt", ReportText.Write(report));
        Golden.CheckText("report.csv", System.Text.Encoding.UTF8.GetString(ReportCsv.Write(report)[3..]).ReplaceLineEndings("\n")); // git keeps text with line feeds alone
    }

    private static byte[] Png(Action<Stream> write)
    {
        using var stream = new MemoryStream();
        write(stream);
        return stream.ToArray();
    }
}
