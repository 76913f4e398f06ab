using System.Globalization;
using System.Text;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Presentation.Reports.Pdf;
using GrainVision.Presentation.Reports.Tables;
using SkiaSharp;

namespace GrainVision.Presentation.Tests.Reports;

public class ReportTests
{
    public static TheoryData<string> Tables => [.. ReportTables.Names];

    [Theory]
    [MemberData(nameof(Tables))]
    public void Table_StrictParser_EveryRowIsOfOneKindAndAsWideAsTheHeader(string name)
    {
        var report = SampleReports.Make(9);
        var bytes = ReportTables.Write(name, report);
        Assert.Equal(new byte[] { 0xEF, 0xBB, 0xBF }, bytes[..3]);
        var rows = StrictCsv.Read(Encoding.UTF8.GetString(bytes[3..]));
        Assert.True(rows.Count > 1);
        Assert.All(rows, r => Assert.Equal(rows[0].Count, r.Count));
        Assert.Equal(rows[0].Count, rows[0].Distinct().Count());
    }

    [Fact]
    public void Tables_CountsAndNumbers_AreThoseOfTheReport()
    {
        var report = SampleReports.Make(9);
        List<IReadOnlyList<string>> Read(string name) => StrictCsv.Read(Encoding.UTF8.GetString(ReportTables.Write(name, report)[3..]));
        Assert.Equal((9, 18, 18, 4), (Read("pieces").Count - 1, Read("uses").Count - 1, Read("reasons").Count - 1, Read("cuts").Count - 1));
        Assert.Equal((9 * 6) + 2, Read("photos").Count - 1);
        var pieces = Read("pieces");
        // 8/4 x 6 in: 18 ft are 18 board feet, 14 ft are 14 (T W L / 12; US Navy Engineering Aid Basics ch. 6).
        Assert.Equal((5 * 18) + (4 * 14), pieces.Skip(1).Sum(r => double.Parse(r[pieces[0].ToList().IndexOf("boardFeet")], CultureInfo.InvariantCulture)), 6);
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
    public void Table_FormulaInAMark_IsWordsToASpreadsheet(string mark)
    {
        var report = SampleReports.Make(1);
        report = report with { Pieces = [report.Pieces[0] with { Piece = report.Pieces[0].Piece with { SpeciesMark = mark } }] };
        var rows = StrictCsv.Read(Encoding.UTF8.GetString(ReportTables.Write("pieces", report)[3..]));
        var cell = rows[1][rows[0].ToList().IndexOf("speciesMark")];
        Assert.StartsWith("'", cell, StringComparison.Ordinal);
        Assert.DoesNotContain(cell, c => char.IsControl(c));
    }

    [Fact]
    public void MillLetter_FortyPieces_GoesThroughAMailServerAndIsTheSameTwice()
    {
        var picture = Picture();
        // 15 MB is what a mail server takes.
        Assert.InRange(Letter(SampleReports.Make(40, photosPerPiece: 7), _ => picture).Length, 100_000, 15_000_000);
        var few = SampleReports.Make(3);
        Assert.Equal(Letter(few, _ => picture), Letter(few, _ => picture));
    }

    [Fact]
    public void Pdf_PicturesMissingOrNoPieces_StillWritten()
    {
        var report = SampleReports.Make(3);
        var empty = report with { Pieces = [], Tally = [], CutPlan = null };
        foreach (var bytes in new[] { Letter(report, _ => null), Letter(report, _ => [1, 2, 3]), Letter(empty, _ => null), Pdf(s => ShopSheet.Write(s, empty)), Pdf(s => DeliverySummary.Write(s, empty)), Record(report, 2, _ => [1, 2, 3]) })
            Assert.Equal("%PDF"u8.ToArray(), bytes[..4]);
    }

    /// <summary>ISO 32000-1, 14.9.2: the language of a document stands in its catalogue; 14.3.3: its title among its information.</summary>
    [Fact]
    public void Pdf_OfEachKind_HasTitleAndLanguage()
    {
        var report = SampleReports.Make(3);
        foreach (var bytes in new[] { Letter(report, _ => null), Pdf(s => ShopSheet.Write(s, report)), Pdf(s => DeliverySummary.Write(s, report)), Record(report, 1, _ => null) })
        {
            using var pdf = UglyToad.PdfPig.PdfDocument.Open(bytes);
            Assert.Contains("IFM-2041", pdf.Information.Title, StringComparison.Ordinal);
            Assert.Equal("en", pdf.Structure.Catalog.CatalogDictionary.Data["Lang"].ToString()!.Trim('(', ')'));
        }
    }

    /// <summary>Issue 14 item 8: no sentence twice on a page, no API words.</summary>
    [Fact]
    public void Pdf_OfEachKind_SpeaksTheTradesWordsAndSaysNothingTwice()
    {
        var report = SampleReports.Make(4);
        foreach (var bytes in new[] { Letter(report, _ => null), Pdf(s => ShopSheet.Write(s, report)), Pdf(s => DeliverySummary.Write(s, report)), Record(report, 2, _ => null) })
        {
            using var pdf = UglyToad.PdfPig.PdfDocument.Open(bytes);
            foreach (var page in pdf.GetPages())
            {
                var text = string.Join(' ', page.GetWords().Select(w => w.Text));
                var sentences = System.Text.RegularExpressions.Regex.Split(text, @"(?<=[.:])\s").Where(s => s.Split(' ').Length > 7).ToList();
                Assert.Equal(sentences.Distinct(), sentences);
                Assert.DoesNotMatch(@"\b[a-z]+[A-Z][a-z]+\b|\bnull\b|1:\d+\.\d|sitka-spruce|cap-strip", text);
            }
        }
    }

    [Fact]
    public void Pdf_HostileWords_NoLineBreaksNoCrash()
    {
        var wild = new string('W', 3000) + "\u202Eevil\n\0\uD800";
        var report = SampleReports.Make(1, supplier: wild);
        var piece = report.Pieces[0];
        var reasons = Enumerable.Range(0, 60).Select(i => new Reason("l", VerdictOutcome.Reject, wild, wild)).ToList();
        report = report with { Pieces = [piece with { Verdicts = [.. piece.Verdicts.Select(v => v with { Outcome = VerdictOutcome.Reject, Reasons = reasons, Use = wild })] }] };
        foreach (var bytes in new[] { Letter(report, _ => null), Pdf(s => ShopSheet.Write(s, report)), Record(report, 1, _ => null) })
            Assert.InRange(bytes.Length, 1000, 3_000_000);
    }

    private static byte[] Letter(DeliveryReport report, Func<string, byte[]?> pictures) => Pdf(s => MillLetter.Write(s, report, [], pictures));

    private static byte[] Record(DeliveryReport report, int piece, Func<string, byte[]?> pictures) => Pdf(s => InspectionRecord.Write(s, report.Delivery, report.Pieces[piece - 1], [], report.MadeUtc, pictures));

    private static byte[] Pdf(Action<Stream> write)
    {
        using var stream = new MemoryStream();
        write(stream);
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
