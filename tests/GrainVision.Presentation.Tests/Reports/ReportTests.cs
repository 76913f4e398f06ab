using System.Globalization;
using System.Text;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Reports;
using GrainVision.Presentation.Reports.Pdf;
using SkiaSharp;

namespace GrainVision.Presentation.Tests.Reports;

public class ReportTests
{
    [Fact]
    public void Csv_StrictParser_EveryRowAsWideAsTheHeaderAndNumbersAddUp()
    {
        var report = SampleReports.Make(9);
        var bytes = ReportCsv.Write(report);
        Assert.Equal(new byte[] { 0xEF, 0xBB, 0xBF }, bytes[..3]);
        var rows = StrictCsv.Read(Encoding.UTF8.GetString(bytes[3..]));
        var header = rows[0];
        Assert.All(rows, r => Assert.Equal(header.Count, r.Count));
        string Cell(IReadOnlyList<string> row, string column) => row[header.ToList().IndexOf(column)];

        Assert.Equal(9 * 2, rows.Count(r => Cell(r, "row") == "piece"));
        foreach (var use in report.Delivery.RuleBooks)
        {
            var tally = rows.Where(r => Cell(r, "row") == "tally" && Cell(r, "ruleBook") == use).ToList();
            Assert.Equal(3, tally.Count);
            Assert.Equal(9, tally.Sum(r => int.Parse(Cell(r, "pieces"), CultureInfo.InvariantCulture)));
            // 8/4 x 6 in: 18 ft are 18 board feet, 14 ft are 14 (T W L / 12; US Navy Engineering Aid Basics ch. 6).
            Assert.Equal((5 * 18) + (4 * 14), tally.Sum(r => double.Parse(Cell(r, "boardFeet"), CultureInfo.InvariantCulture)), 6);
        }

        Assert.Equal(2, rows.Count(r => Cell(r, "row") == "photo"));
        Assert.Equal(4, rows.Count(r => Cell(r, "row") == "part"));
    }

    [Theory]
    [InlineData("=HYPERLINK(\"x\")")]
    [InlineData("+1")]
    [InlineData("-1+1")]
    [InlineData("@SUM(A1)")]
    [InlineData("\t=1")]
    [InlineData("\r=1")]
    [InlineData("  =1")]
    [InlineData("\uFF1D1")]
    public void Csv_FormulaInASuppliersName_IsWordsToASpreadsheet(string supplier)
    {
        var rows = StrictCsv.Read(Encoding.UTF8.GetString(ReportCsv.Write(SampleReports.Make(1, supplier: supplier))[3..]));
        var cell = rows[1][rows[0].ToList().IndexOf("supplier")];
        Assert.StartsWith("'", cell, StringComparison.Ordinal);
        Assert.DoesNotContain(cell, c => char.IsControl(c));
    }

    [Fact]
    public void Text_SaysWhatThePdfSays()
    {
        var text = ReportText.Write(SampleReports.Make(6, complete: false));
        Assert.Contains("NOT COMPLETE", text, StringComparison.Ordinal);
        Assert.Contains("Invented Fjord Mill, order IFM-2041", text, StringComparison.Ordinal);
        Assert.Contains("solid or laminated spar: accept 2 pieces", text, StringComparison.Ordinal);
        Assert.Contains("1:11.7", text, StringComparison.Ordinal);
        Assert.Contains("Piece 2: Slope of grain", text, StringComparison.Ordinal);
        Assert.Contains("Missing: 1 \u00d7 rear spar plank", text, StringComparison.Ordinal);
        Assert.Contains("torn.jpg", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Pdf_FortyPieces_SmallAndTheSameBytesTwice()
    {
        var picture = Picture();
        var report = SampleReports.Make(40, photosPerPiece: 7);
        var first = Pdf(report, _ => picture);
        // 15 MB is what a mail server takes. 40 pieces of 7 photos.
        Assert.InRange(first.Length, 40 * 6 * 2_000, 15_000_000);
        var few = SampleReports.Make(3, photosPerPiece: 7);
        Assert.Equal(Pdf(few, _ => picture), Pdf(few, _ => picture));
        if (Environment.GetEnvironmentVariable("GRAINVISION_KEEP_REPORTS") is { } folder)
        {
            File.WriteAllBytes(Path.Combine(folder, "sample.pdf"), first);
            File.WriteAllBytes(Path.Combine(folder, "sample.csv"), ReportCsv.Write(report));
            File.WriteAllText(Path.Combine(folder, "sample.txt"), ReportText.Write(report));
        }
    }

    [Fact]
    public void Pdf_PicturesMissingOrNoPictures_StillWritten()
    {
        var report = SampleReports.Make(2);
        Assert.Equal("%PDF"u8.ToArray(), Pdf(report, _ => null)[..4]);
        Assert.Equal("%PDF"u8.ToArray(), Pdf(report, _ => [1, 2, 3])[..4]);
        Assert.Equal("%PDF"u8.ToArray(), Pdf(report with { Pieces = [], Tally = [], CutPlan = null }, _ => null)[..4]);
    }

    [Fact]
    public void Pdf_HostileWords_NoLineBreaksNoCrash()
    {
        var wild = new string('W', 3000) + "\u202Eevil\n\0\uD800";
        var report = SampleReports.Make(1, supplier: wild);
        var piece = report.Pieces[0];
        var reasons = Enumerable.Range(0, 60).Select(i => new Reason("l", VerdictOutcome.Reject, wild, wild)).ToList();
        report = report with { Pieces = [piece with { Verdicts = [.. piece.Verdicts.Select(v => v with { Outcome = VerdictOutcome.Reject, Reasons = reasons, Use = wild })] }] };
        Assert.InRange(Pdf(report, _ => null).Length, 1000, 3_000_000);
    }

    private static byte[] Pdf(DeliveryReport report, Func<string, byte[]?> pictures)
    {
        using var stream = new MemoryStream();
        ReportPdf.Write(stream, report, pictures);
        return stream.ToArray();
    }

    /// <summary>Busy all over, like wood: JPEG finds nothing to save.</summary>
    private static byte[] Picture()
    {
        using var bitmap = new SKBitmap(1600, 1300);
        using var canvas = new SKCanvas(bitmap);
        using var shader = SKShader.CreatePerlinNoiseTurbulence(0.05f, 0.4f, 4, 7);
        using var paint = new SKPaint { Shader = shader };
        canvas.Clear(new SKColor(200, 170, 130));
        canvas.DrawRect(0, 0, 1600, 1300, paint);
        using var data = bitmap.Encode(SKEncodedImageFormat.Jpeg, 90);
        return data.ToArray();
    }
}
