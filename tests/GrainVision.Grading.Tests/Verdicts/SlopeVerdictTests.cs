using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using static GrainVision.Grading.Tests.Verdicts.Samples;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Verdicts;

public class SlopeVerdictTests
{
    [Theory]
    [InlineData("spar")]
    [InlineData("longeron-and-small-parts")]
    [InlineData("cap-strip")]
    [InlineData("shop-order")]
    public void Face_StraightGrainNoBlemish_IsAcceptedForThisFaceOnly(string book)
    {
        var verdict = Face().Judged(book);
        Assert.Equal(Accept, verdict.Outcome);
        Assert.Equal("this face only", verdict.Scope);
    }

    [Theory] // AC 43.13-1B Table 1-1: 1:15; ANC-19 2.4102: one face alone is enough from 1:21.2132 on
    [InlineData(1.0 / 14, 0, Reject)]
    [InlineData(-1.0 / 14, 0, Reject)]
    [InlineData(1.0 / 15, 0, Hold)]
    [InlineData(1.0 / 21, 0, Hold)]
    [InlineData(1.0 / 21.21, 0, Hold)]
    [InlineData(1.0 / 21.2133, 0, Accept)]
    [InlineData(1.0 / 25, 0, Accept)]
    [InlineData(-1.0 / 25, 0, Accept)]
    [InlineData(0, 0.04, Accept)]
    [InlineData(0, 0.05, Hold)]
    [InlineData(0.06, 0.02, Hold)]
    [InlineData(0.1, 0.04, Hold)]
    [InlineData(0.11, 0.04, Reject)]
    public void Slope_OneFace_Decides(double slope, double half, VerdictOutcome expected)
    {
        var verdict = Face(About(slope, half)).Judged();
        Assert.Equal(expected, verdict.Of("slope-of-grain").Outcome);
        Assert.Equal(expected, verdict.Outcome);
    }

    [Fact]
    public void Slope_BetweenTheBounds_AsksForTheAdjacentFace()
    {
        var reason = Face(About(1.0 / 18, 0.002)).Judged().Of("slope-of-grain");
        Assert.StartsWith("Measure the adjacent face and combine", reason.HandCheck, StringComparison.Ordinal);
        Assert.Contains("open with the adjacent one", reason.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Slope_WorstWindowSteepThoughOverallFlat_IsRejected()
    {
        var face = Face();
        var verdict = (face with { Grain = face.Grain! with { WorstWindow = About(-0.1, 0.01) } }).Judged();
        Assert.Equal(Reject, verdict.Outcome);
        Assert.Contains("Slope where it is steepest 1:10 (1:9 to 1:11)", verdict.Of("slope-of-grain").Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Slope_OuterEighthSteepThoughTheRestFlat_IsRejected() // AC 43.13-1B par. 1-39
    {
        var face = Face();
        var verdict = (face with { Grain = face.Grain! with { OuterEighths = About(0.1, 0.01) } }).Judged();
        Assert.Equal(Reject, verdict.Of("slope-outer-eighth").Outcome);
    }

    [Fact]
    public void Slope_OuterEighthNotMeasured_HoldsInASparAndNotInAShopOrder()
    {
        var face = Face();
        var without = face with { Grain = face.Grain! with { OuterEighths = null } };
        Assert.Equal(Hold, without.Judged().Outcome);
        Assert.Equal(Hold, without.Judged("cap-strip").Outcome);
        Assert.Equal(Accept, without.Judged("shop-order").Outcome);
    }

    [Theory]
    [InlineData("white-ash", 0.01)]
    [InlineData("white-ash", 0.3)]
    [InlineData("western-white-pine", 0.01)] // in ANC-19's ring table, not in AC 43.13-1B's species table
    public void Slope_SpeciesNotInTheTable_Holds(string species, double slope)
    {
        var reason = Face(About(slope, 0.001), species: species).Judged("shop-order").Of("slope-of-grain");
        Assert.Equal(Hold, reason.Outcome);
        Assert.Contains($"No published limit for {SpeciesWords.From(species)}", reason.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Slope_SpeciesNotStated_IsDecidedSinceAllListedAgree() => Assert.Equal(Reject, Face(About(0.1, 0.01), species: null).Judged().Outcome);

    [Fact]
    public void Slope_FromRingLines_SaysThatSpiralGrainDoesNotShow() // ANC-19 2.3206, TM 1-414
    {
        var verdict = Face(basis: GrainBasis.RingLines).Judged();
        Assert.Equal(Accept, verdict.Outcome);
        Assert.Contains("do not show spiral grain", verdict.Of("slope-of-grain").Text, StringComparison.Ordinal);
        Assert.Contains(verdict.HandChecks, h => h.Contains("ink, scribe or split", StringComparison.Ordinal));
    }

    [Fact]
    public void Slope_FromFibreStreaks_HoldsUntilAPersonConfirmsIt() // this project's rule: streaks are not yet proven on real wood
    {
        Measurement[] evidence = [Unconfirmed(Face()) with { Id = "face" }];
        HandFinding Answer(HandAnswer answer) => new() { Measurement = "face", Limit = "fibre-streaks", Answer = answer, Instrument = "ink", By = "A" };
        Assert.Equal(Hold, Unconfirmed(Face()).Judged().Outcome);
        Assert.Contains("Ink, scribe or split", Unconfirmed(Face()).Judged().Of("fibre-streaks").HandCheck, StringComparison.Ordinal);
        Assert.Contains(PieceAssessment.OfLoose(evidence, []).GiveVerdict(Spar).Reasons, r => r.LimitId == "fibre-streaks");
        Assert.DoesNotContain(PieceAssessment.OfLoose(evidence, [Answer(HandAnswer.Met)]).GiveVerdict(Spar).Reasons, r => r.LimitId == "fibre-streaks");
        Assert.Contains(PieceAssessment.OfLoose(evidence, [Answer(HandAnswer.Broken)]).GiveVerdict(Spar).Reasons, r => r.LimitId == "fibre-streaks");
    }

    [Fact]
    public void Slope_SteepByFibreStreaks_RejectsAllTheSame() => Assert.Equal(Reject, Unconfirmed(Face(About(0.12, 0.01))).Judged().Outcome);

    private static Measurement Unconfirmed(Measurement m) => m with { Grain = m.Grain! with { ByHand = false } };

    [Fact]
    public void Slope_FromFibreStreaks_MeetsALimitOnlyWithItsWholeInterval() // 1:15 for spruce, combined: one face alone below 1:21.2
    {
        Assert.Equal(Accept, Face(About(0.02, 0.026), GrainBasis.FibreStreaks).Judged().Outcome);
        Assert.Equal(Hold, Face(About(0.02, 0.03), GrainBasis.FibreStreaks).Judged().Outcome);
    }

    [Fact]
    public void Slope_ScribedByHand_AsksForNoHandCheckAgain()
    {
        HandFinding Scribed(string quantity) => new() { Measurement = "face", Quantity = quantity, Value = 0.01, PlusMinus = 0.004, Unit = "tangent", Instrument = "scribe", By = "A" };
        Measurement[] evidence = [Unconfirmed(Face()) with { Id = "face" }];
        Assert.Contains(PieceAssessment.OfLoose(evidence, []).GiveVerdict(Spar).HandChecks, h => h.Contains("Ink, scribe", StringComparison.Ordinal));
        Assert.DoesNotContain(PieceAssessment.OfLoose(evidence, [Scribed("worstWindow"), Scribed("outerEighths")]).GiveVerdict(Spar).HandChecks, h => h.Contains("Ink, scribe", StringComparison.Ordinal));
    }

    [Fact]
    public void Slope_NotMeasured_Holds() => Assert.Equal(Hold, (Face() with { Grain = null }).Judged().Outcome);

    [Fact]
    public void Slope_CannotSay_HoldsEvenBesideANumber()
    {
        var verdict = (Face() with { CannotSay = [new CannotSay(CannotSayTopic.Grain, "flat grain", "Ink it.")] }).Judged();
        Assert.Equal(Hold, verdict.Outcome);
        Assert.Equal("Ink it.", verdict.Of("slope-of-grain").HandCheck);
    }

    [Fact]
    public void Slope_OneUnusableFinding_HoldsThoughTheOthersAreFlat()
    {
        var face = Face();
        Assert.Equal(Hold, (face with { Grain = face.Grain! with { Slope = default } }).Judged().Outcome);
        Assert.Equal(Hold, (face with { Grain = face.Grain! with { WorstWindow = new Measured(double.NaN, 0, 0) } }).Judged().Outcome);
    }

    [Theory] // ANC-19 2.3022 and Table 2-11: 1:20 with 1:25 is 15.6, 1:20 with 1:30 is 16.6, 1:21 with 1:21 is 14.85, 1:18 with 1:22 is 13.9
    [InlineData(20, 25, 0, Accept)]
    [InlineData(20, 30, 0, Accept)]
    [InlineData(21, 21, 0, Reject)]
    [InlineData(18, 22, 0, Reject)]
    [InlineData(20, 25, 0.004, Hold)]
    public void CombinedSlope_TwoFaces_Decides(double one, double two, double half, VerdictOutcome expected)
    {
        var limit = Spar.Limits.OfType<SlopeOfGrain>().Single();
        var reason = LimitJudge.CombinedSlope(limit, "sitka-spruce", Face(About(1 / one, half)).Grain!, Face(About(-1 / two, half)).Grain!);
        Assert.Equal(expected, reason.Outcome);
    }

    [Theory] // ANC-19 2.3206, TM 1-414: ring lines of a face that is not radial do not show the fibres
    [InlineData(GrainBasis.FibreStreaks, GrainBasis.RingLines, 40, Accept)]
    [InlineData(GrainBasis.RingLines, GrainBasis.RingLines, 40, Hold)]
    [InlineData(GrainBasis.RingLines, GrainBasis.RingLines, 10, Hold)]
    public void CombinedSlope_RingLinesOnBothFaces_NeverDecides(GrainBasis first, GrainBasis second, double oneIn, VerdictOutcome expected)
    {
        var limit = Spar.Limits.OfType<SlopeOfGrain>().Single();
        var slope = Measured.Exact(1 / oneIn);
        var reason = LimitJudge.CombinedSlope(limit, "sitka-spruce", Face(slope, first).Grain!, Face(slope, second).Grain!);
        Assert.Equal(expected, reason.Outcome);
        Assert.Equal(expected == Hold, reason.HandCheck is not null);
    }

    [Fact]
    public void CombinedSlope_AshOrUnusable_Holds()
    {
        var limit = Spar.Limits.OfType<SlopeOfGrain>().Single();
        var flat = Face().Grain!;
        Assert.Equal(Hold, LimitJudge.CombinedSlope(limit, "white-ash", flat, flat).Outcome);
        Assert.Equal(Hold, LimitJudge.CombinedSlope(limit, "sitka-spruce", flat, flat with { Slope = default }).Outcome);
    }

    [Theory]
    [InlineData(0, "straighter than 1:60")]
    [InlineData(1.0 / 15, "1:15 ")]
    public void Slope_Text_ReadsLikeTheTrade(double slope, string expected) =>
        Assert.Contains(expected, Face(Measured.Exact(slope)).Judged().Of("slope-of-grain").Text, StringComparison.Ordinal);
}
