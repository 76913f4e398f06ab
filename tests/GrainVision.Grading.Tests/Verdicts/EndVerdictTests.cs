using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using static GrainVision.Grading.Tests.Verdicts.Samples;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Verdicts;

public class EndVerdictTests
{
    [Theory]
    [InlineData("spar")]
    [InlineData("longeron-and-small-parts")]
    [InlineData("cap-strip")]
    [InlineData("shop-order")]
    public void End_GoodSitkaSpruce_IsAcceptedForThisEndOnly(string book)
    {
        var verdict = End().Judged(book);
        Assert.Equal(Accept, verdict.Outcome);
        Assert.Equal("this end only", verdict.Scope);
    }

    [Theory] // ANC-19 Table 2-13: 6 in Sitka, 8 in Port Orford cedar and Douglas-fir N
    [InlineData("sitka-spruce", 6.0, 0, Grading.Findings.VerdictOutcome.Accept)]
    [InlineData("sitka-spruce", 7.4, 0.35, Grading.Findings.VerdictOutcome.Accept)]
    [InlineData("sitka-spruce", 6.2, 0.3, Grading.Findings.VerdictOutcome.Hold)]
    [InlineData("sitka-spruce", 5.8, 0.3, Grading.Findings.VerdictOutcome.Hold)]
    [InlineData("sitka-spruce", 5.8, 0.1, Grading.Findings.VerdictOutcome.Reject)]
    [InlineData("Sitka Spruce", 7.4, 0.3, Grading.Findings.VerdictOutcome.Accept)]
    [InlineData("port-orford-cedar", 7.4, 0.3, Grading.Findings.VerdictOutcome.Reject)]
    [InlineData("douglas-fir-class-n", 7, 0.3, Grading.Findings.VerdictOutcome.Reject)]
    [InlineData("douglas-fir-class-l", 7, 0.3, Grading.Findings.VerdictOutcome.Accept)]
    [InlineData("douglas-fir", 7, 0.3, Grading.Findings.VerdictOutcome.Hold)] // class not said
    [InlineData("douglas-fir", 8.5, 0.3, Grading.Findings.VerdictOutcome.Accept)]
    [InlineData("douglas-fir", 5, 0.3, Grading.Findings.VerdictOutcome.Reject)]
    [InlineData("sugar-pine", 6.5, 0.2, Grading.Findings.VerdictOutcome.Hold)] // the scan reads 6 or 7
    [InlineData(null, 8.5, 0.3, Grading.Findings.VerdictOutcome.Accept)] // meets the strictest listed
    [InlineData(null, 7, 0.3, Grading.Findings.VerdictOutcome.Hold)]
    [InlineData(" ", 7, 0.3, Grading.Findings.VerdictOutcome.Hold)]
    [InlineData(null, 5, 0.3, Grading.Findings.VerdictOutcome.Reject)] // fails the laxest listed
    [InlineData("white-ash", 20, 0.3, Grading.Findings.VerdictOutcome.Hold)]
    [InlineData("white-ash", 2, 0.3, Grading.Findings.VerdictOutcome.Hold)]
    [InlineData("balsa", 20, 0.3, Grading.Findings.VerdictOutcome.Hold)]
    public void WorstInch_AgainstTheSpeciesLimit_Decides(string? species, double worst, double half, Grading.Findings.VerdictOutcome expected)
    {
        var verdict = End(About(worst, half), mean: About(worst + 3, half), species: species).Judged();
        Assert.Equal(expected, verdict.Of("rings-per-inch").Outcome);
        Assert.Equal(expected, verdict.Outcome);
        Assert.Equal("worstInch", expected == Hold && verdict.Of("rings-per-inch").Quantity is null ? "worstInch" : verdict.Of("rings-per-inch").Quantity);
    }

    [Fact]
    public void WorstInch_MeanIsGoodButWorstIsNot_IsRejected() => // ANC-19 2.413: the worst inch governs
        Assert.Equal(Reject, End(worst: About(5, 0.3), mean: About(12, 0.3)).Judged().Outcome);

    [Fact]
    public void WorstInch_Text_GivesValueIntervalAndLimit_SourceStandsApart()
    {
        var reason = End(new Measured(7.4, 7.1, 7.8)).Judged().Of("rings-per-inch");
        Assert.Contains("7.4 rings/in (7.1 to 7.8) against at least 6 for Sitka spruce", reason.Text, StringComparison.Ordinal);
        Assert.Contains("ANC-19 (1943) 2.413", reason.Source, StringComparison.Ordinal);
        Assert.DoesNotContain("ANC-19", reason.Text, StringComparison.Ordinal);
        Assert.Equal((6.0, "rings/in"), (reason.Limit!.Value, reason.Unit));
    }

    [Fact]
    public void WorstInch_EndWouldRoundOntoTheLimit_ShowsOneMoreDecimal() =>
        Assert.Contains("(5.96 to 6.50)", End(new Measured(6.2, 5.96, 6.5)).Judged().Of("rings-per-inch").Text, StringComparison.Ordinal);

    [Fact]
    public void WorstInch_MoreThanTheMean_HoldsAsContradiction() =>
        Assert.Equal(Hold, End(worst: About(9, 0.1), mean: About(7, 0.1)).Judged().Outcome);

    [Fact]
    public void Ash_RingLimit_DefersToApprovedData()
    {
        var reason = End(species: "white-ash").Judged().Of("rings-per-inch");
        Assert.StartsWith("No published limit for white ash; defer to approved data", reason.Text, StringComparison.Ordinal);
        Assert.Contains("white ash", reason.HandCheck, StringComparison.Ordinal);
    }

    [Fact]
    public void SpeciesNotStated_HoldBetweenSpecies_AsksForIt() =>
        Assert.StartsWith("State the species", End(About(7, 0.3), species: null).Judged().Of("rings-per-inch").HandCheck, StringComparison.Ordinal);

    [Fact]
    public void SpeciesNotStated_Accepted_StillAsksForIt() =>
        Assert.Contains(End(species: null).Judged().HandChecks, h => h.StartsWith("State the species", StringComparison.Ordinal));

    [Theory] // common practice, no source: 10 to 12 rings per inch ordered in spruce
    [InlineData(10, 12, Grading.Findings.VerdictOutcome.Accept)]
    [InlineData(9.5, 11, Grading.Findings.VerdictOutcome.Reject)]
    [InlineData(10.1, 12.1, Grading.Findings.VerdictOutcome.Reject)]
    public void ShopOrder_RingSpan_WorstInchAndMean(double worst, double mean, Grading.Findings.VerdictOutcome expected) =>
        Assert.Equal(expected, End(Measured.Exact(worst), Measured.Exact(mean)).Judged("shop-order").Outcome);

    [Fact]
    public void ShopOrder_Ash_Holds() => Assert.Equal(Hold, End(species: "white-ash").Judged("shop-order").Outcome);

    [Theory] // ANC-19 2.402 and 2.4211: edge-grained from 45 degrees over two thirds of the depth
    [InlineData(45, 0, 45, 45, Grading.Findings.VerdictOutcome.Accept)]
    [InlineData(60, 1, 50, 70, Grading.Findings.VerdictOutcome.Accept)]
    [InlineData(60, 1, 45.5, 70, Grading.Findings.VerdictOutcome.Hold)] // the least may be under 45
    [InlineData(60, 1, 30, 80, Grading.Findings.VerdictOutcome.Hold)] // over how much of the depth?
    [InlineData(45.4, 0.5, 45.4, 45.4, Grading.Findings.VerdictOutcome.Hold)]
    [InlineData(44.4, 0.5, 44.4, 44.4, Grading.Findings.VerdictOutcome.Reject)]
    [InlineData(20, 1, 5, 40, Grading.Findings.VerdictOutcome.Reject)]
    [InlineData(20, 1, 5, 50, Grading.Findings.VerdictOutcome.Reject)] // straight rings, middle flat: not two thirds
    [InlineData(20, 1, 0, 88, Grading.Findings.VerdictOutcome.Hold)] // curved rings, pith not placed
    public void EdgeGrain_LeastMiddleGreatest_Decide(double middle, double half, double least, double greatest, Grading.Findings.VerdictOutcome expected) =>
        Assert.Equal(expected, End(angle: Angle(middle, half, least, greatest)).Judged().Of("edge-grain").Outcome);

    [Fact]
    public void EdgeGrain_PithNearTheMiddle_HoldsSinceTwoThirdsMayStillBeEdgeGrained()
    {
        // Circular rings, pith 15 mm under the middle of a 150 mm depth: below 45 degrees over 30 mm, a fifth of the depth.
        var pith = new PithFinding(750, 400, About(15, 1));
        Assert.Equal(Hold, End(angle: Angle(5, 1, 5, 80, pith)).Judged().Of("edge-grain").Outcome);
    }

    [Fact]
    public void EdgeGrain_PithFarUnderAFlatSawnPlank_IsRejected()
    {
        var pith = new PithFinding(750, 1250, About(100, 2));
        Assert.Equal(Reject, End(angle: Angle(5, 1, 0, 50, pith)).Judged().Of("edge-grain").Outcome);
    }

    [Theory]
    [InlineData(60, 0, Grading.Findings.VerdictOutcome.Accept)]
    [InlineData(60.4, 0.5, Grading.Findings.VerdictOutcome.Hold)]
    [InlineData(50, 1, Grading.Findings.VerdictOutcome.Hold)] // the two conventions differ
    [InlineData(44, 0.5, Grading.Findings.VerdictOutcome.Reject)]
    public void ShopOrder_QuarterSawn_BothConventions(double degrees, double half, Grading.Findings.VerdictOutcome expected) =>
        Assert.Equal(expected, End(angle: Angle(degrees, half)).Judged("shop-order").Of("quarter-sawn").Outcome);

    [Theory]
    [InlineData(750, 250, true, 1, Grading.Findings.VerdictOutcome.Reject)]
    [InlineData(750, 250, false, 1, Grading.Findings.VerdictOutcome.Hold)] // flag and place disagree
    [InlineData(750, 490, true, 5, Grading.Findings.VerdictOutcome.Hold)] // 1 mm inside, 5 mm unsure
    [InlineData(750, 510, false, 5, Grading.Findings.VerdictOutcome.Hold)] // 1 mm outside, 5 mm unsure
    [InlineData(750, 900, false, 5, Grading.Findings.VerdictOutcome.Accept)]
    [InlineData(750, 900, true, 5, Grading.Findings.VerdictOutcome.Hold)]
    [InlineData(-3000, 250, false, 200, Grading.Findings.VerdictOutcome.Accept)]
    public void BoxedPith_PlaceWithItsUncertainty_Decides(double x, double y, bool boxed, double halfMm, Grading.Findings.VerdictOutcome expected)
    {
        var distance = new PointPx(x, y).DistanceTo(new PointPx(750, 250)) / 10;
        var pith = new PithFinding(x, y, About(distance, halfMm)) { Boxed = boxed };
        Assert.Equal(expected, End(angle: Angle(80, 0.5, pith: pith)).Judged().Of("boxed-pith").Outcome);
    }

    [Theory] // far outside by its place, its distance hardly known: the rings' turn over the section settles it, or does not
    [InlineData(70, 85, Grading.Findings.VerdictOutcome.Accept)]
    [InlineData(10, 85, Grading.Findings.VerdictOutcome.Hold)]
    public void BoxedPith_PlacedFarOutsideButUnsure_IsSettledByTheRingsTurn(double least, double greatest, Grading.Findings.VerdictOutcome expected)
    {
        var pith = new PithFinding(750, 1200, new Measured(95, 20, 10_000));
        Assert.Equal(expected, End(angle: Angle(80, 0.5, least, greatest, pith)).Judged().Of("boxed-pith").Outcome);
    }

    [Fact]
    public void BoxedPith_NotPlacedButRingsAtEveryAngle_Holds() =>
        Assert.Equal(Hold, End(angle: Angle(80, 0.5, 2, 88)).Judged().Of("boxed-pith").Outcome);

    [Fact]
    public void WorstInch_MeanIsNoUsableNumber_Holds() => // half a finding decides nothing
        Assert.Equal(Hold, End(About(10, 0.2), default(Measured)).Judged().Of("rings-per-inch").Outcome);

    [Fact]
    public void MissingRings_Hold() => Assert.Equal(Hold, (End() with { Rings = null }).Judged().Outcome);

    [Fact]
    public void MissingAngle_Holds() => Assert.Equal(Hold, (End() with { RingAngle = null }).Judged().Outcome);

    [Fact]
    public void CannotSayRings_HoldsWithItsHandCheck()
    {
        var verdict = (End() with { CannotSay = [new CannotSay(CannotSayTopic.Rings, "too blurred", "Count with a lens.")] }).Judged();
        Assert.Equal(Hold, verdict.Outcome);
        Assert.Equal("Count with a lens.", verdict.Of("rings-per-inch").HandCheck);
    }

    [Theory]
    [InlineData(-5, 0.5)]
    [InlineData(95, 0.5)]
    [InlineData(double.NaN, 0.5)]
    public void Angle_NoSuchAngle_Holds(double degrees, double half)
    {
        var angle = new RingAngleFinding(About(degrees, half), degrees, degrees, Cut.QuarterSawn, null);
        Assert.Equal(Hold, End(angle: angle).Judged().Outcome);
    }

    [Fact]
    public void End_SlopeAndFaceLimits_BecomeHandChecksAndDoNotBlock()
    {
        var verdict = End().Judged();
        Assert.DoesNotContain(verdict.Reasons, r => r.LimitId.StartsWith("slope", StringComparison.Ordinal));
        Assert.Contains(verdict.HandChecks, h => h.Contains("all four faces", StringComparison.Ordinal) && h.Contains("1:15", StringComparison.Ordinal));
        Assert.Contains(verdict.HandChecks, h => h.Contains("either end", StringComparison.Ordinal));
    }
}
