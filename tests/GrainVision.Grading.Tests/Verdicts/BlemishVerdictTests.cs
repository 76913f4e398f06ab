using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using static GrainVision.Grading.Tests.Verdicts.Samples;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Verdicts;

public class BlemishVerdictTests
{
    private const double In = Units.MmPerInch;

    [Fact]
    public void Knot_ThreeEighthsTwentyInchesApart_Passes() // AC 43.13-1B Table 1-1 notes
        => Assert.Equal(Accept, Face(blemishes: [Knot(0.375 * In, 100), Knot(0.375 * In, 100 + (20 * In))]).Judged().Outcome);

    [Fact]
    public void Knot_ThreeEighthsNineteenInchesApart_Fails()
    {
        var verdict = Face(blemishes: [Knot(0.375 * In, 100), Knot(0.375 * In, 100 + (19 * In))]).Judged();
        Assert.Equal(Reject, verdict.Outcome);
        Assert.Equal("spacingMm", verdict.Reasons[0].Quantity);
    }

    [Theory] // computed: 20 in x d / (3/8 in)
    [InlineData(0.25, 13.34, Accept)]
    [InlineData(0.25, 13.33, Reject)]
    [InlineData(0.1875, 10.0, Accept)]
    [InlineData(0.1875, 9.99, Reject)]
    [InlineData(0.125, 6.67, Accept)]
    [InlineData(0.125, 6.66, Reject)]
    public void Knot_SmallerOnes_ProportionatelyCloser(double diameterIn, double apartIn, VerdictOutcome expected) =>
        Assert.Equal(expected, Face(blemishes: [Knot(diameterIn * In, 100), Knot(diameterIn * In, 100 + (apartIn * In))]).Judged().Outcome);

    [Fact]
    public void Knot_BesideAnotherKindOfDefect_NeedsTheSameRoom()
    {
        var verdict = Face(blemishes: [Knot(0.375 * In, 100), Mark(BlemishKind.PitchPocket, 5, 2, 300)]).Judged();
        Assert.Equal(Reject, verdict.Of("knot").Outcome);
    }

    [Theory] // AC 43.13-1B: a mineral streak without decay is permitted, so it need not be a defect
    [InlineData(BlemishKind.Stain)]
    [InlineData(BlemishKind.DentOrGouge)]
    [InlineData(BlemishKind.Unknown)]
    public void Knot_BesideAMarkThatMayBeNoDefect_Holds(BlemishKind kind) =>
        Assert.Equal(Hold, Face(blemishes: [Knot(0.375 * In, 100), Mark(kind, 5, 5, 300)]).Judged().Of("knot").Outcome);

    [Fact]
    public void Knot_AcceptedOnThisPhoto_StillAsksToLookPastItsEnds() // 20 in may reach past the photo
    {
        var verdict = Face(blemishes: [Knot(0.375 * In)]).Judged();
        Assert.Equal(Accept, verdict.Outcome);
        Assert.Contains(verdict.HandChecks, h => h.StartsWith("Look past both ends", StringComparison.Ordinal));
        Assert.DoesNotContain(Face().Judged().HandChecks, h => h.StartsWith("Look past both ends", StringComparison.Ordinal));
    }

    [Fact]
    public void KnotSpacing_FarEnoughOnlyInAStraightLine_Holds() // 1/16 in needs 84.7 mm: 80 along, 84.9 straight
    {
        var knots = new[] { Knot(In / 16, 100, 60), Knot(In / 16, 180, 88.5) };
        Assert.Equal(Hold, Face(blemishes: knots).Judged().Of("knot").Outcome);
    }

    [Fact]
    public void Knot_BesideAMarkThatMayBeNothing_Holds()
    {
        var verdict = Face(blemishes: [Knot(0.375 * In, 100), Mark(BlemishKind.Stain, 5, 5, 300, probability: 0.4)]).Judged();
        Assert.Equal(Hold, verdict.Outcome);
    }

    [Theory]
    [InlineData(9.525, 0, Accept)]
    [InlineData(9.2, 0.3, Accept)]
    [InlineData(9.3, 0.3, Hold)]
    [InlineData(9.8, 0.3, Hold)]
    [InlineData(10, 0.3, Reject)]
    [InlineData(25, 1, Reject)]
    public void Knot_DiameterInterval_Decides(double mm, double half, VerdictOutcome expected) =>
        Assert.Equal(expected, Face(blemishes: [Knot(mm, half: half)]).Judged().Outcome);

    [Fact]
    public void Knot_OblongWithALargestExtentOverTheLimit_Holds() => // "diameter" may mean the largest
        Assert.Equal(Hold, Face(blemishes: [Mark(BlemishKind.Knot, 14, 8)]).Judged().Outcome);

    [Theory] // whole knot in the centre third of 150 mm: 50 to 100 mm
    [InlineData(75, 0, Accept)]
    [InlineData(54.1, 0, Accept)]
    [InlineData(53.9, 0, Hold)]
    [InlineData(46.1, 0, Hold)]
    [InlineData(45.9, 0, Reject)]
    [InlineData(104.1, 0, Reject)]
    [InlineData(54.5, 1, Hold)]
    [InlineData(4, 0, Reject)]
    public void Knot_PlaceAcross_Decides(double acrossMm, double half, VerdictOutcome expected) =>
        Assert.Equal(expected, Face(blemishes: [Knot(8, acrossMm: acrossMm, half: half)]).Judged().Outcome);

    [Fact]
    public void Knot_EdgeDistanceContradictsThePlace_Holds()
    {
        Assert.Equal(Hold, Face(blemishes: [Knot(8) with { EdgeDistanceMm = 0 }]).Judged().Outcome);
        Assert.Equal(Hold, Face(blemishes: [Knot(8) with { AcrossMm = 0 }]).Judged().Outcome);
    }

    [Fact]
    public void Knot_WidthOfTheFaceUnknown_Holds() => Assert.Equal(Hold, (Face(blemishes: [Knot(8)]) with { Size = null }).Judged().Outcome);

    [Theory]
    [InlineData(6.3, false)]
    [InlineData(6.4, true)] // above 1/4 in = 6.35 mm
    public void Knot_AboveAQuarterInch_CarriesACaution(double mm, bool caution) =>
        Assert.Equal(caution, Face(blemishes: [Knot(mm)]).Judged().Cautions.Any(c => c.Contains("used with caution", StringComparison.Ordinal)));

    [Theory]
    [InlineData(0.94)]
    [InlineData(0.05)]
    [InlineData(0)]
    [InlineData(double.NaN)]
    [InlineData(1.5)]
    public void Candidate_NotSure_HoldsWhateverItsSize(double probability)
    {
        foreach (var kind in Enum.GetValues<BlemishKind>())
        {
            foreach (var mm in new[] { 1.0, 8, 40 })
                Assert.Equal(Hold, Face(blemishes: [Knot(mm, probability: probability, kind: kind)]).Judged().Outcome);
        }
    }

    [Theory] // AC 43.13-1B Table 1-1 notes: never; pith: common practice, no source
    [InlineData(BlemishKind.SpikeKnot)]
    [InlineData(BlemishKind.Check)]
    [InlineData(BlemishKind.ShakeOrSplit)]
    [InlineData(BlemishKind.LooseKnot)]
    [InlineData(BlemishKind.Pith)]
    public void NeverAllowed_SureHoweverSmall_IsRejectedOnFaceAndEnd(BlemishKind kind)
    {
        Assert.Equal(Reject, Face(blemishes: [Knot(1, kind: kind)]).Judged().Outcome);
        Assert.Equal(Reject, (End() with { Blemishes = [Knot(1, kind: kind)] }).Judged().Outcome);
        Assert.Equal(Reject, Face(blemishes: [Knot(1, kind: kind)]).Judged("cap-strip").Outcome);
    }

    [Theory]
    [InlineData(BlemishKind.BoreHole)]
    [InlineData(BlemishKind.DentOrGouge)]
    [InlineData(BlemishKind.Stain)]
    [InlineData(BlemishKind.PinKnotCluster)]
    [InlineData(BlemishKind.Unknown)]
    [InlineData((BlemishKind)99)]
    public void KindThatOnlyAPersonCanSettle_AlwaysHolds(BlemishKind kind)
    {
        foreach (var book in RuleBookSet.Embedded.Latest)
        {
            Assert.Equal(Hold, Face(blemishes: [Knot(3, kind: kind)]).Judged(book.Id).Outcome);
            Assert.Equal(Hold, (End() with { Blemishes = [Knot(3, kind: kind)] }).Judged(book.Id).Outcome);
        }
    }

    [Fact]
    public void Stain_HandCheck_IsForDecay() => // AC 43.13-1B: mineral streak, careful inspection shows no decay
        Assert.Contains("decay", Face(blemishes: [Knot(3, kind: BlemishKind.Stain)]).Judged().Of("stain").HandCheck, StringComparison.Ordinal);

    [Theory]
    [InlineData(BlemishKind.Knot)]
    [InlineData(BlemishKind.PitchPocket)]
    public void KnotOrPocket_OnAnEnd_HoldsForTheFaces(BlemishKind kind) =>
        Assert.Equal(Hold, (End() with { Blemishes = [Knot(2, kind: kind)] }).Judged().Outcome);

    [Fact]
    public void ShopOrder_LocalFlaw_HoldsAndNeverRejects() // common practice: a local flaw does not condemn a whole flitch
    {
        foreach (var kind in Enum.GetValues<BlemishKind>().Where(k => k != BlemishKind.Pith))
            Assert.Equal(Hold, Face(blemishes: [Knot(40, kind: kind)]).Judged("shop-order").Outcome);
    }

    [Theory] // AC 43.13-1B: at most 1-1/2 x 1/8 in; depth 1/8 in does not show, so the best is a hold
    [InlineData(1.51, 0.1, Reject)]
    [InlineData(1.50, 0.1, Hold)]
    [InlineData(1.0, 0.126, Reject)]
    [InlineData(1.0, 0.125, Hold)]
    public void PitchPocket_InASpar_BySize(double lengthIn, double widthIn, VerdictOutcome expected) =>
        Assert.Equal(expected, Face(blemishes: [Mark(BlemishKind.PitchPocket, lengthIn * In, widthIn * In)]).Judged().Of("pitch-pocket").Outcome);

    [Fact]
    public void PitchPocket_WellWithinEverySize_StillAsksForItsDepth()
    {
        var verdict = Face(blemishes: [Mark(BlemishKind.PitchPocket, 10, 1)]).Judged();
        Assert.Equal(Hold, verdict.Outcome);
        Assert.Contains("Probe the pocket's depth", verdict.Of("pitch-pocket").HandCheck, StringComparison.Ordinal);
        Assert.Equal(Accept, verdict.Of("pitch-pocket-solid-spar").Outcome);
    }

    [Fact]
    public void PitchPocket_AtTheEdge_IsRejected() =>
        Assert.Equal(Reject, Face(blemishes: [Mark(BlemishKind.PitchPocket, 10, 2, acrossMm: 1)]).Judged().Outcome);

    [Theory] // AC 43.13-1B: 14 in apart in the same ring, which the photo does not show; ANC-19 2.4213: 6 times the shorter, always
    [InlineData(14.0, Hold, Accept)]
    [InlineData(6.0, Hold, Accept)]
    [InlineData(5.9, Hold, Reject)]
    public void PitchPocket_OneInchOnesApart_BySpacing(double apartIn, VerdictOutcome beam, VerdictOutcome solid)
    {
        var verdict = Face(blemishes: [Mark(BlemishKind.PitchPocket, In, 2, 100), Mark(BlemishKind.PitchPocket, In, 2, 100 + (apartIn * In))]).Judged();
        Assert.Equal(beam, verdict.Of("pitch-pocket").Outcome);
        Assert.Equal(solid, verdict.Of("pitch-pocket-solid-spar").Outcome);
    }

    [Theory] // ANC-19 2.4213: six times the longer only in one growth layer
    [InlineData(6.0, Hold)]
    [InlineData(9.0, Accept)]
    public void PitchPocket_UnequalPair_HoldsBetweenShorterAndLonger(double apartIn, VerdictOutcome expected) => Assert.Equal(expected,
        Face(blemishes: [Mark(BlemishKind.PitchPocket, In, 2, 100), Mark(BlemishKind.PitchPocket, 1.5 * In, 2, 100 + (apartIn * In))]).Judged().Of("pitch-pocket-solid-spar").Outcome);

    [Theory] // ANC-19 2.4213: at most 4 times the distance from the corner
    [InlineData(9, Reject)]
    [InlineData(11, Accept)]
    public void PitchPocket_FortyMmLong_ByDistanceFromTheCorner(double acrossMm, VerdictOutcome expected) =>
        Assert.Equal(expected, Face(blemishes: [Mark(BlemishKind.PitchPocket, 38, 2, acrossMm: acrossMm)]).Judged().Of("pitch-pocket-solid-spar").Outcome);

    [Theory] // ANC-19 2.426: knot at most 1/8 of the face's width (18.75 mm of 150), in the middle half; flat-sawn face does not show
    [InlineData(18.75, 75, Hold)]
    [InlineData(19, 75, Reject)]
    [InlineData(10, 20, Reject)]
    [InlineData(10, 45, Hold)]
    public void SmallPartKnot_ShareOfWidthAndPlace_Decide(double mm, double acrossMm, VerdictOutcome expected)
    {
        Assert.Equal(expected, Face(blemishes: [Knot(mm, acrossMm: acrossMm)]).Judged("longeron-and-small-parts").Outcome);
        Assert.Equal(expected, Face(blemishes: [Knot(mm, acrossMm: acrossMm)]).Judged("cap-strip").Outcome);
    }

    [Fact]
    public void SmallPartPocket_FaceUnderOneInch_IsRejected() // ANC-19 2.426
    {
        var narrow = Face(blemishes: [Mark(BlemishKind.PitchPocket, 5, 1, acrossMm: 12)]) with { Size = new SectionSize(Measured.Exact(1500), Measured.Exact(25)) };
        Assert.Equal(Reject, narrow.Judged("cap-strip").Outcome);
    }

    [Theory] // ANC-19 2.426: width 1/8 of the face, length 2 in and 4 times the distance from the edge
    [InlineData(50.8, 3, 75, Hold)]
    [InlineData(51, 3, 75, Reject)]
    [InlineData(40, 19, 75, Reject)]
    [InlineData(40, 2, 8, Reject)]
    public void SmallPartPocket_Sizes_Decide(double lengthMm, double widthMm, double acrossMm, VerdictOutcome expected) =>
        Assert.Equal(expected, Face(blemishes: [Mark(BlemishKind.PitchPocket, lengthMm, widthMm, acrossMm: acrossMm)]).Judged("cap-strip").Outcome);

    [Fact]
    public void Blemishes_CannotSay_HoldsThoughNoneWereFound() =>
        Assert.Equal(Hold, (Face() with { CannotSay = [new CannotSay(CannotSayTopic.Blemishes, "glare", "Look.")] }).Judged().Outcome);

    [Fact]
    public void Blemish_SizeWithoutInterval_Holds()
    {
        Assert.Equal(Hold, Face(blemishes: [Knot(8) with { DiameterMm = default }]).Judged().Outcome);
        Assert.Equal(Hold, Face(blemishes: [Knot(8) with { LengthMm = double.NaN }]).Judged().Outcome);
        Assert.Equal(Hold, Face(blemishes: [Knot(8) with { WidthMm = 0 }]).Judged().Outcome);
        Assert.Equal(Hold, (Face(blemishes: [Knot(8), Knot(8, 1400)]) with { Scale = new ScaleFinding(ScaleKind.Card, default) }).Judged().Outcome);
    }

    /// <summary>A photo coarser than the surface is read at (a face at 6, an end at 9 px/mm) accepts nothing on cracks; a sure blemish on it still rejects.</summary>
    [Theory]
    [InlineData(View.Face, 5.9, Hold)]
    [InlineData(View.Face, 6, Accept)]
    [InlineData(View.End, 8.9, Hold)]
    [InlineData(View.End, 9, Accept)]
    public void NoCrackFound_OnACoarsePhoto_Holds(View view, double pixelsPerMm, VerdictOutcome expected)
    {
        var coarse = (view == View.End ? End() : Face()) with { Scale = new ScaleFinding(ScaleKind.Card, Measured.Exact(pixelsPerMm)) };
        var limit = Spar.Limits.OfType<NeverAllowed>().First(l => l.Covers(BlemishKind.Check));
        Assert.Equal(expected, coarse.Judged().Of(limit.Id).Outcome);
        Assert.Equal(Reject, (coarse with { Blemishes = [Mark(BlemishKind.Check, 30, 1, 300)] }).Judged().Outcome);
    }

    [Fact]
    public void Reasons_NumberTheBlemishAsInThePicture()
    {
        var verdict = Face(blemishes: [Knot(3, kind: BlemishKind.Stain), Knot(3, 1200, kind: BlemishKind.Check)]).Judged();
        Assert.StartsWith("Check (mark 2)", verdict.Reasons[0].Text, StringComparison.Ordinal);
        Assert.Equal(new PointPx(12000, 750), verdict.Reasons[0].At);
    }
}
