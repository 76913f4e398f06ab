using GrainVision.Grading.Findings;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Scale.SteelRule;
using GrainVision.Synthesis.Rules;

namespace GrainVision.Measuring.Tests.Scale;

/// <summary>
/// Rules of many styles, drawn by a program of its own (tools/GrainVision.Synthesis/Rules), and two real photos. A scale may be refused; it may not be wrong and
/// look sure.
/// </summary>
public sealed class RulePhotoTests
{
    public static TheoryData<RuleStyle> Styles() => [.. Enum.GetValues<RuleStyle>()];

    // Truth by construction; beyond three standard uncertainties is confidently wrong (issue of the scale that cannot lie).
    [Theory]
    [MemberData(nameof(Styles))]
    public void RuleReader_RulesOfEveryStyle_AreNeverConfidentlyWrong(RuleStyle style)
    {
        for (var seed = 701; seed <= 703; seed++)
        {
            var drawn = RulePhoto.Of(seed, style);
            using var photo = Decode(drawn.ToJpeg());
            if (!ScaleStage.Find(photo, new SteelRuleScale(drawn.Units.Front), CancellationToken.None).TryGet(out var scale, out _))
                continue;

            var found = scale.Near(drawn.Place).PixelsPerMmAt(drawn.Place);
            Assert.True(Math.Abs((found / drawn.PixelsPerMm) - 1) <= 3 * scale.RelativeAt!(drawn.Place), drawn.ToString());
            Assert.Equal(ScaleWitnessKind.Graduations, scale.Finding.Witnesses![0].Kind);
        }
    }

    [Fact]
    public void PhotoIntake_OnlyAWholePhoto_SaysWhereItsLensLooks()
    {
        foreach (var seed in Enumerable.Range(701, 6))
        {
            var drawn = RulePhoto.Of(seed, RuleStyle.SatinSteel);
            using var photo = Decode(drawn.ToJpeg());

            Assert.Equal(!drawn.Cropped, photo.WholeFocalPx is not null);
        }
    }

    // 6.7 px/mm by eye (fixtures/registry.json): 469 px for 7 cm, each end to a pixel. The half millimetres are 3.3 px apart, which is too fine today: refused.
    [Theory]
    [InlineData("white-rule-half-mm.jpg", null)]
    [InlineData("white-rule-half-mm.jpg", SteelRuleUnit.Mm)]
    [InlineData("white-rule-half-mm.jpg", SteelRuleUnit.Inch)]
    [InlineData("white-rule-half-mm-turned.jpg", null)]
    [InlineData("white-rule-half-mm-turned.jpg", SteelRuleUnit.Mm)]
    public void RuleReader_RealPhoto_IsRightOrRefused(string file, SteelRuleUnit? told)
    {
        using var photo = Decode(Intake.IntakeFiles.Fixture("rules/" + file));

        if (ScaleStage.Find(photo, new SteelRuleScale(told), CancellationToken.None).TryGet(out var scale, out _))
            Assert.InRange(6.7, scale.Finding.PixelsPerMm.Low - 0.03, scale.Finding.PixelsPerMm.High + 0.03);
    }

    // Marks each millimetre of which every second one was resolved: two of 48 gaps counted one short gave 4.90 in place of 5.105 px/mm on a real photo of a dark rule.
    [Theory]
    [InlineData(16, 33)]
    [InlineData(24, 24)]
    [InlineData(5, 44)]
    public void CountRivals_OneOrTwoGapsCountedShort_AreSeen(int first, int second)
    {
        var right = Row(i => 2 * i);
        var wrong = Row(i => (2 * i) - (i >= first ? 1 : 0) - (i > second ? 1 : 0));

        Assert.False(CountRivals.Exist(right, SpacingFit.Fit(right, Lens)!));
        Assert.True(SpacingFit.Fit(wrong, Lens) is not { } fit || CountRivals.Exist(wrong, fit));
    }

    private static LineDistortion Lens => new(250, 120, 500);

    /// <summary>48 marks, two graduations or 10.2 px apart, in mild perspective, each a tenth of a pixel off.</summary>
    private static List<Tick> Row(Func<int, int> number)
    {
        var random = new Random(5);
        return [.. Enumerable.Range(0, 48).Select(i => new Tick(number(i), (10.2 * i / (1 + (0.0004 * i))) + (0.2 * (random.NextDouble() - 0.5)), 20))];
    }

    private static UprightPhoto Decode(byte[] file)
    {
        Assert.True(PhotoIntake.Decode(file, IntakeLimits.Default, CancellationToken.None).TryGet(out var photo, out var refusal), refusal?.Code);
        return photo;
    }
}
