using System.Globalization;
using System.Text.RegularExpressions;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Pictures;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Tests.Pictures;

public class PictureTextTests
{
    public static TheoryData<string> Names => [.. Samples.Names];

    [Theory]
    [InlineData(12.43, 11.9, 12.96, "12.4 (11.9 to 13.0)")]
    [InlineData(6.02, 5.96, 6.08, "6.02 (5.96 to 6.08)")]
    [InlineData(72, 66, 78, "72 (66 to 78)")]
    [InlineData(12.3, 11.3, 13.3, "12.3 (11.3 to 13.3)")]
    [InlineData(10, 10, 10, "10.00 (10.00 to 10.00)")]
    [InlineData(-0.0001, -0.4, 0.4, "0.0 (-0.4 to 0.4)")]
    public void Span_Interval_ReadsLikeThis(double value, double low, double high, string expected) =>
        Assert.Equal(expected, Figures.Span(new Measured(value, low, high)));

    [Theory]
    [InlineData(0, null)]
    [InlineData(1, "1 mark looked at and dismissed")]
    [InlineData(14, "14 marks looked at and dismissed")]
    [InlineData(20, "20 marks or more looked at and dismissed")]
    public void Dismissed_Marks_AreCountedInTheLegendAndTheAltText(int count, string? expected)
    {
        var (photo, sample) = Samples.Make("face-dark-clean");
        photo.Dispose();
        var mark = new BlemishFinding(BlemishKind.Check, 0.01, new(5, 5), Measured.Exact(1), Measured.Exact(1), 4, 1, 3, [new(4, 4), new(6, 4), new(6, 6)]);
        var m = sample with { DismissedMarks = [.. Enumerable.Repeat(mark, count)] };

        Assert.Equal(expected, TradeWords.Dismissed(m));
        Assert.Equal(expected is not null, AltText.From(m).Contains("looked at and dismissed", StringComparison.Ordinal));
    }

    /// <summary>A printed interval must never look tighter than the one that was judged: 5.96 must not read as a clear 6.0.</summary>
    [Fact]
    public void Span_AnyInterval_PrintedOneHoldsIt()
    {
        var random = new Random(20260101);
        for (var i = 0; i < 20_000; i++)
        {
            var value = Math.Exp((random.NextDouble() * 14) - 6);
            var m = new Measured(value, value * (1 - (random.NextDouble() * 0.6)), value * (1 + (random.NextDouble() * 0.6)));
            var ends = Regex.Match(Figures.Span(m), @"\((\S+) to (\S+)\)");
            Assert.True(double.Parse(ends.Groups[1].Value, CultureInfo.InvariantCulture) <= m.Low + 1e-6);
            Assert.True(double.Parse(ends.Groups[2].Value, CultureInfo.InvariantCulture) >= m.High - 1e-6);
        }
    }

    [Fact]
    public void Wrap_AnyText_NeverWiderThanAskedNorLongerThanAllowed()
    {
        var random = new Random(11);
        string[] parts = ["a", "mm", "W", " ", " ", "  ", "é", "😀", "e\u0301", "\n", "木", "0123456789", "unbreakablyverylongword", "(", "1:15", "\u00A0"];
        for (var i = 0; i < 400; i++)
        {
            var text = string.Concat(Enumerable.Range(0, random.Next(0, 120)).Select(_ => parts[random.Next(parts.Length)]));
            var width = 60 + (random.NextDouble() * 700);
            var lines = random.Next(1, 6);
            var block = TextBlock.Wrap([new(text), new(text, Bold: true)], 30, (float)width, lines);
            Assert.True(block.WidthPx <= width + 0.01, $"{block.WidthPx} px of {width} for {text}");
            Assert.True(block.HeightPx <= lines * 30 * 1.33);
        }
    }

    [Fact]
    public void Wrap_ShortText_KeepsEveryWord()
    {
        var all = TextBlock.Wrap([new("worst inch "), new("10.1", Bold: true)], 30, 10_000, 1);
        using var regular = BundledFont.Create(30);
        using var bold = BundledFont.Create(30, bold: true);
        Assert.Equal(regular.MeasureText("worst ") + regular.MeasureText("inch ") + bold.MeasureText("10.1"), all.WidthPx, 1);
        Assert.Equal(1, (int)(all.HeightPx / 30));
    }

    /// <summary>1/45 of the picture's width: the brief for a phone in a dim shop, no published source.</summary>
    [Theory]
    [MemberData(nameof(Names))]
    public void Style_EveryKindOfPicture_TextLargeEnough(string name)
    {
        var (photo, m) = Samples.Make(name);
        using (photo)
        {
            var plan = new PicturePlan(photo.Width, photo.Height, m);
            Assert.True(plan.Style.LabelPx >= plan.CanvasWidth / 45.0, $"{plan.Style.LabelPx} px on {plan.CanvasWidth}");
            Assert.True(plan.Style.BodyPx >= plan.Style.LabelPx);
        }
    }

    /// <summary>WCAG 2.1: text 4.5:1 (SC 1.4.3), graphics 3:1 (SC 1.4.11); the formula is that of its glossary, "contrast ratio".</summary>
    [Fact]
    public void Style_TextAndLines_ContrastEnough()
    {
        foreach (var outcome in new VerdictOutcome?[] { VerdictOutcome.Accept, VerdictOutcome.Hold, VerdictOutcome.Reject, null })
        {
            var (ground, ink) = PictureStyle.Banner(outcome);
            Assert.True(Contrast(ground, ink) >= 4.5, outcome.ToString());
        }

        Assert.True(Contrast(PictureStyle.Panel, PictureStyle.Text) >= 4.5);
        Assert.True(Contrast(PictureStyle.Panel, PictureStyle.QuietText) >= 4.5);
        Assert.True(Contrast(PictureStyle.Gutter, PictureStyle.QuietText) >= 4.5);
        SKColor[] cores = [PictureStyle.Outline, PictureStyle.Axis, PictureStyle.Ring, PictureStyle.WorstInch, PictureStyle.Tangent, PictureStyle.Grain, PictureStyle.Blemish, PictureStyle.ScaleMark];
        foreach (var core in cores)
        {
            Assert.True(Contrast(core, PictureStyle.Casing) >= 4.5, core.ToString());
            // On any grey from black to white either the core or the casing stands out.
            for (var v = 0; v < 256; v++)
            {
                var wood = new SKColor((byte)v, (byte)v, (byte)v);
                Assert.True(Math.Max(Contrast(core, wood), Contrast(PictureStyle.Casing, wood)) >= 3, $"{core} on {v}");
            }
        }
    }

    /// <summary>The three verdicts differ without colour: on a grey print too. Own choice of 1.5:1, no source; word, sign and pattern differ anyway.</summary>
    [Fact]
    public void Style_Banners_ApartOnAGreyPrint()
    {
        SKColor[] grounds = [.. new[] { VerdictOutcome.Accept, VerdictOutcome.Hold, VerdictOutcome.Reject }.Select(o => PictureStyle.Banner(o).Ground)];
        Assert.True(Contrast(grounds[0], grounds[1]) > 1.5);
        Assert.True(Contrast(grounds[0], grounds[2]) > 1.5);
        Assert.True(Contrast(grounds[1], grounds[2]) > 1.5);
    }

    [Fact]
    public void Hatch_EveryKind_DrawnUnlikeAnyOther()
    {
        var looks = Enum.GetValues<BlemishKind>().Select(Hatch.From).Select(h => $"{string.Join(',', h.AnglesDeg)} {h.Spacing} {h.Dots}").ToArray();
        Assert.Equal(looks.Length, looks.Distinct(StringComparer.Ordinal).Count());
    }

    [Fact]
    public void BundledFont_InTheAssembly_HasTheSignsThatWeUse()
    {
        Assert.Equal("DejaVu Sans", BundledFont.Regular.FamilyName);
        Assert.True(BundledFont.Bold.IsBold);
        using var font = BundledFont.Create(20);
        Assert.True(font.ContainsGlyphs("0123456789°…–≥½⅔%×é\u00A0"));
    }

    private static double Contrast(SKColor a, SKColor b)
    {
        var (la, lb) = (Luminance(a), Luminance(b));
        return (Math.Max(la, lb) + 0.05) / (Math.Min(la, lb) + 0.05);
    }

    private static double Luminance(SKColor c)
    {
        double Linear(byte v) => v / 255.0 <= 0.03928 ? v / 255.0 / 12.92 : Math.Pow(((v / 255.0) + 0.055) / 1.055, 2.4);
        return (0.2126 * Linear(c.Red)) + (0.7152 * Linear(c.Green)) + (0.0722 * Linear(c.Blue));
    }
}
