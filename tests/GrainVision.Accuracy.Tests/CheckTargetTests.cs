using System.Collections.Concurrent;
using GrainVision.Grading.Cards;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Presentation.Cards;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy.Tests;

/// <summary>
/// The printed check target photographed by the synthesiser's camera (perspective, lens, blur, noise, JPEG) and measured. Truth is the sheet's
/// own geometry; tolerances are those that the answer states.
/// </summary>
public class CheckTargetTests
{
    private const int Seed = 31;

    private static readonly TargetBands Bands = CheckTargetDesign.Listed[0];

    [Fact]
    public void Target_EveryListedOne_IsRecognisedAndPasses()
    {
        foreach (var bands in CheckTargetDesign.Listed)
        {
            var m = Measure(Photo(bands), new MeasuringRequest { View = View.End });
            Assert.NotNull(m.CheckTarget);
            Assert.True(m.CheckTarget.Recognised);
            Assert.Equal((bands.PitchMm, bands.AngleDegrees), (m.CheckTarget.PitchMm, m.CheckTarget.AngleDegrees));
            Assert.True(m.CheckTarget.Ok, $"{bands}: {string.Join("; ", m.CheckTarget.Lines.Where(l => !l.Ok))}");
            Assert.Equal(["blockLengthMm", "blockHeightMm", "ringsPerInch", "ringAngleDegrees"], m.CheckTarget.Lines.Select(l => l.What));
        }
    }

    [Fact]
    public void Target_FromAPrinterWithoutColours_PassesToo()
    {
        var jpeg = SheetPhoto.Jpeg(Bands, PaperSize.Letter, 1, Seed, Difficulty.Easy, 1.5, greyPrinter: true);
        Assert.True(Measure(jpeg, new MeasuringRequest { View = View.End }).CheckTarget?.Ok);
    }

    [Fact]
    public void Target_WithARuleBook_GetsNoVerdict()
    {
        Assert.True(RuleBookSet.Embedded.TryGet("spar", out var book));
        var m = Measure(Photo(Bands), new MeasuringRequest { View = View.End, RuleBook = "spar", Species = "sitka-spruce" }, book);
        Assert.Null(m.Verdict);
        Assert.Contains(m.Warnings, w => w.Code == WarningCode.NotWood);
    }

    [Fact]
    public void Target_PrintedAt97Percent_PassesAgainstItsOwnCardAndSaysWhatShowsIt()
    {
        var jpeg = SheetPhoto.Jpeg(Bands, PaperSize.A4, 0.97, Seed, Difficulty.Easy, 1.5);
        var alone = Measure(jpeg, new MeasuringRequest { View = View.End }).CheckTarget!;
        Assert.True(alone.Ok);
        Assert.Contains("97 %", alone.Note, StringComparison.Ordinal);

        // The line that was held against a steel rule fails, and says what to do.
        var held = Measure(jpeg, new MeasuringRequest { View = View.End, CheckTarget = new CheckTargetRequest(CheckLineMm: 97) }).CheckTarget!;
        Assert.False(held.Ok);
        var line = Assert.Single(held.Lines, l => !l.Ok);
        Assert.Equal("checkLineMm", line.What);
        Assert.Contains("100 %", line.Advice, StringComparison.Ordinal);
    }

    [Fact]
    public void Target_PrintedAt97PercentWithASteelRuleOnTheSheet_FailsByThreePercent()
    {
        var request = new MeasuringRequest { View = View.End, Scale = new SteelRuleScale(SteelRuleUnit.Mm), CheckTarget = new CheckTargetRequest() };
        var good = Measure(SheetPhoto.Jpeg(Bands, PaperSize.A4, 1, Seed, Difficulty.Easy, 3, ScaleProp.MmRule), request).CheckTarget!;
        Assert.True(good.Ok, string.Join("; ", good.Lines));
        var shrunk = Measure(SheetPhoto.Jpeg(Bands, PaperSize.A4, 0.97, Seed, Difficulty.Easy, 3, ScaleProp.MmRule), request).CheckTarget!;
        Assert.True(shrunk.Recognised);
        Assert.Equal(["blockLengthMm", "blockHeightMm", "ringsPerInch"], shrunk.Lines.Where(l => !l.Ok).Select(l => l.What));
        Assert.InRange(shrunk.Lines[0].Difference!.Value / shrunk.Lines[0].Printed, -0.04, -0.02);
    }

    [Fact]
    public void Target_PrintedAt97PercentWithoutARule_IsNotScaledByItsOwnCheckLine()
    {
        // The sheet's 100 mm line has millimetre graduations: taken for a steel rule it would make every print right.
        var request = new MeasuringRequest { View = View.End, Scale = new SteelRuleScale(SteelRuleUnit.Mm), CheckTarget = new CheckTargetRequest() };
        Assert.Equal("rule-not-found", Refused(SheetPhoto.Jpeg(Bands, PaperSize.A4, 0.97, 70902, Difficulty.Easy, 3), request).Code);
    }

    /// <summary>
    /// The photo bears no EXIF that proves it whole, so the lens's axis is not known and the rule's scale holds within 1 % at the block: 2 % too large is not passed but sent back to be
    /// photographed nearer, 3 % is too large for certain.
    /// </summary>
    [Theory]
    [InlineData(1.02, true)]
    [InlineData(1.03, false)]
    public void Target_PrintedTooLargeWithASteelRuleOnTheSheet_IsNotPassed(double printedAt, bool mayBeOpen)
    {
        var request = new MeasuringRequest { View = View.End, Scale = new SteelRuleScale(SteelRuleUnit.Mm), CheckTarget = new CheckTargetRequest() };
        var grown = Measure(SheetPhoto.Jpeg(Bands, PaperSize.A4, printedAt, Seed, Difficulty.Easy, 3, ScaleProp.MmRule), request).CheckTarget!;
        Assert.False(grown.Ok);
        Assert.Contains(grown.Lines, l => l is { What: "blockLengthMm", Ok: false } && (mayBeOpen || !l.Open));
        Assert.InRange(grown.Lines[0].Difference!.Value / grown.Lines[0].Printed, printedAt - 1.006, printedAt - 0.994);
    }

    [Fact]
    public void Target_WithoutAMarker_NeedsItsNumbersStated()
    {
        var own = new TargetBands(3, 33.3);
        var jpeg = Photo(own);
        Assert.Null(Measure(jpeg, new MeasuringRequest { View = View.End }).CheckTarget);
        Assert.Equal("check-target-unknown", Refused(jpeg, new MeasuringRequest { View = View.End, CheckTarget = new CheckTargetRequest() }).Code);
        var stated = Measure(jpeg, new MeasuringRequest { View = View.End, CheckTarget = new CheckTargetRequest(3, 33.3) }).CheckTarget!;
        Assert.True(stated.Ok);
        Assert.False(stated.Recognised);
        Assert.False(Measure(jpeg, new MeasuringRequest { View = View.End, CheckTarget = new CheckTargetRequest(3.1, 33.3) }).CheckTarget!.Ok);
        Assert.False(Measure(jpeg, new MeasuringRequest { View = View.End, CheckTarget = new CheckTargetRequest(3, 35) }).CheckTarget!.Ok);
    }

    [Theory]
    [InlineData(0.0, 45.0, null)]
    [InlineData(2.0, 91.0, null)]
    [InlineData(2.0, null, null)]
    [InlineData(null, null, 4.0)]
    public void Request_AbsurdTarget_IsRefused(double? pitch, double? angle, double? line) =>
        Assert.Equal("check-target-absurd", Refused(Photo(Bands), new MeasuringRequest { View = View.End, CheckTarget = new CheckTargetRequest(pitch, angle, line) }).Code);

    [Fact]
    public void Target_SentAsAFace_IsRefused() =>
        Assert.Equal("check-target-is-an-end", Refused(Photo(Bands), new MeasuringRequest { View = View.Face }).Code);

    [Fact]
    public void Wood_BesideTheCard_IsNeverTakenForATarget()
    {
        for (var seed = 1; seed <= 6; seed++)
        {
            var photo = Synthesiser.Make(new SceneRequest { Seed = seed, View = View.End, Difficulty = Difficulty.Easy, Megapixels = 1, Scale = ScaleProp.Card });
            if (MeasureJob.Run(photo.ToJpeg(), new MeasuringRequest { View = View.End }, null, IntakeLimits.Default, CancellationToken.None).Found is { } found)
                Assert.Null(found.CheckTarget);
        }
    }

    [Theory]
    [InlineData("a4", "210mm", "297mm")]
    [InlineData("letter", "215.9mm", "279.4mm")]
    public void Sheet_Svg_HasThePapersSizeAndTheWords(string paper, string width, string height)
    {
        using var stream = new MemoryStream();
        new CheckTargetSheet(paper == "a4" ? PaperSize.A4 : PaperSize.Letter, Bands).WriteSvg(stream);
        var svg = System.Text.Encoding.UTF8.GetString(stream.ToArray());
        Assert.Contains($"width=\"{width}\" height=\"{height}\"", svg, StringComparison.Ordinal);
        Assert.Contains("bands every 1.5 mm = 16.93 rings per inch, at 75.0 degrees", svg, StringComparison.Ordinal);
        Assert.Contains("no photo of it can show the fault", svg, StringComparison.Ordinal);
    }

    /// <summary>Taken once: a photo costs a second.</summary>
    private static byte[] Photo(TargetBands bands) => Photos.GetOrAdd(bands, b => SheetPhoto.Jpeg(b, PaperSize.A4, 1, Seed, Difficulty.Easy, 1.5));

    private static readonly ConcurrentDictionary<TargetBands, byte[]> Photos = new();

    private static Measurement Measure(byte[] jpeg, MeasuringRequest request, RuleBook? book = null)
    {
        var outcome = MeasureJob.Run(jpeg, request, book, IntakeLimits.Default, CancellationToken.None);
        Assert.True(outcome.TryGet(out var measured, out var refusal), refusal?.Code);
        return measured;
    }

    private static Refusal Refused(byte[] jpeg, MeasuringRequest request) =>
        MeasureJob.Run(jpeg, request, null, IntakeLimits.Default, CancellationToken.None).Refusal ?? throw new Xunit.Sdk.XunitException("It was measured.");
}
