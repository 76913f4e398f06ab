using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy.Tests;

/// <summary>
/// Engineer's scales beside good wood (graduations of 1/10 to 1/60 in by fives and tens: common practice, no source). The truth says inch: a millimetre scale
/// that is more than assumed would make every length wrong by a fifth to a factor of two and a half.
/// </summary>
public class EngineersScaleTests
{
    [Theory]
    [InlineData(10)]
    [InlineData(20)]
    [InlineData(30)]
    [InlineData(40)]
    [InlineData(50)]
    [InlineData(60)]
    public void Photo_WithAnEngineersScale_IsRefusedOrHeldAndSaysWhy(int parts)
    {
        Assert.True(RuleBookSet.Embedded.TryGet("spar", out var book));
        foreach (var seed in (ReadOnlySpan<int>)[70905, 70909])
        {
            var scene = new SceneRequest
            {
                Seed = seed, View = View.End, Difficulty = Difficulty.Easy, Species = "sitka-spruce", Megapixels = 1.5, Scale = ScaleProp.InchRule, RulePartsPerInch = parts,
                RingsPerInch = 12, RingAngleDeg = 85, PithDistanceMm = 250, Blemishes = [],
            };
            var outcome = MeasureJob.Run(Synthesiser.Make(scene).ToJpeg(), new MeasuringRequest { View = View.End, Species = "sitka-spruce" }, book, IntakeLimits.Default, CancellationToken.None);
            if (!outcome.TryGet(out var measured, out var refusal))
            {
                Assert.Contains(refusal.Code, (IReadOnlyList<string>)["rule-unit-doubtful", "scale-not-found"]);
                continue;
            }

            var m = measured;
            Assert.True(m.Scale.IsUnitAssumed);
            Assert.NotEqual(VerdictOutcome.Accept, m.Verdict!.Outcome);
            Assert.Contains(m.Verdict.Reasons, r => r.LimitId == "rule-unit");
            Assert.Contains(m.Warnings, w => w.Code == WarningCode.RuleUnitAssumed);
        }
    }

    [Fact]
    public void Photo_WithAScaleOfTwenty_IsTheDangerThatIsHeld()
    {
        // Without the hold this one would be measured a fifth too fine: the test above must not pass by refusals alone.
        var scene = new SceneRequest { Seed = 70905, View = View.End, Difficulty = Difficulty.Easy, Megapixels = 1.5, Scale = ScaleProp.InchRule, RulePartsPerInch = 20, Blemishes = [] };
        var photo = Synthesiser.Make(scene);
        var outcome = MeasureJob.Run(photo.ToJpeg(), new MeasuringRequest { View = View.End }, null, IntakeLimits.Default, CancellationToken.None);
        Assert.True(outcome.TryGet(out var measured, out var refusal), refusal?.Code);
        Assert.True(measured.Scale.IsUnitAssumed);
        Assert.InRange(measured.Scale.PixelsPerMm.Value / photo.Truth.Scale.PixelsPerMm, 1.25, 1.29);
    }
}
