using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using static GrainVision.Grading.Tests.Verdicts.Samples;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Verdicts;

/// <summary>Each test is a change of the judge that the other tests once let pass: an interval or a finding left out.</summary>
public class IntervalVerdictTests
{
    private const double In = Units.MmPerInch;

    [Fact]
    public void Slope_OuterEighthSteep_RejectsByTheSpeciesLimitToo()
    {
        var face = Face();
        Assert.Equal(Reject, (face with { Grain = face.Grain! with { OuterEighths = About(0.1, 0.01) } }).Judged("shop-order").Of("slope-of-grain").Outcome);
    }

    [Fact]
    public void SlopeOuterQuarter_OuterEighthFlatButWorstWindowNot_Holds()
    {
        var face = Face();
        var m = face with { Grain = face.Grain! with { WorstWindow = About(1.0 / 18, 0.001) } };
        Assert.Equal(Hold, m.Judged("cap-strip").Of("slope-outer-quarter").Outcome);
        Assert.Equal(Accept, m.Judged("spar").Of("slope-outer-eighth").Outcome);
    }

    [Fact]
    public void Knot_SizeMayExceedTheLimitThoughTheDiameterDoesNot_Holds()
    {
        var reason = Part(Face(blemishes: [Knot(8) with { SizeMm = About(9, 1) }]), "spar", "diameterMm");
        Assert.Equal(Hold, reason.Outcome);
        Assert.Contains("9.0 mm (8.0 to 10.0)", reason.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void KnotSpacing_RimsOfBothKnots_CountAgainstIt() // 9.4 mm may need 501.3 mm; 502.0 less two rims of 0.4 may be 501.2
    {
        Assert.Equal(Hold, Face(blemishes: [Knot(9, 100, half: 0.4), Knot(9, 602, half: 0.4)]).Judged().Outcome);
        Assert.Equal(Accept, Face(blemishes: [Knot(9, 100, half: 0.4), Knot(9, 602.3, half: 0.4)]).Judged().Outcome);
    }

    [Fact]
    public void KnotSpacing_ScaleUncertainty_CountsAgainstIt() // 510 mm at 1 % may be 505, under 20 in = 508
    {
        var m = Face(blemishes: [Knot(0.375 * In, 100), Knot(0.375 * In, 610)]);
        Assert.Equal(Accept, m.Judged().Outcome);
        Assert.Equal(Hold, (m with { Scale = new ScaleFinding(ScaleKind.Rule, About(10, 0.1)) }).Judged().Outcome);
    }

    [Fact]
    public void KnotSpacing_DiameterUnusable_HoldsBySpacingAsWell() =>
        Assert.Equal(Hold, Part(Face(blemishes: [Knot(8, 100) with { DiameterMm = Measured.Exact(0) }, Knot(3, 1400)]), "spar", "spacingMm").Outcome);

    [Fact]
    public void SmallPartKnot_WidthOfTheFaceUnsure_HoldsByDiameter() // an eighth of 148 to 152 mm is 18.5 to 19
    {
        var m = Face(blemishes: [Knot(18.6)]) with { Size = new SectionSize(Measured.Exact(1500), About(150, 2)) };
        Assert.Equal(Hold, Part(m, "cap-strip", "diameterMm").Outcome);
    }

    [Fact]
    public void PitchPocket_ReachesTheEdge_RejectsByTheEdge() =>
        Assert.Equal(Reject, Part(Face(blemishes: [Mark(BlemishKind.PitchPocket, 10, 2, acrossMm: 1)]), "spar", "edgeDistanceMm").Outcome);

    [Fact]
    public void PitchPocket_MayReachTheEdge_HoldsByTheEdge() =>
        Assert.Equal(Hold, Part(Face(blemishes: [Mark(BlemishKind.PitchPocket, 2, 2, acrossMm: 1.3, half: 0.5)]), "spar", "edgeDistanceMm").Outcome);

    [Fact]
    public void PitchPocket_NeighbourThatMayBeNothing_HoldsByTheSpacing()
    {
        var m = Face(blemishes: [Mark(BlemishKind.PitchPocket, In, 2, 100), Mark(BlemishKind.PitchPocket, In, 2, 140, probability: 0.3)]);
        Assert.All(m.Judged().Reasons.Where(r => r.LimitId == "pitch-pocket-solid-spar" && r.Quantity == "spacingMm"), r => Assert.Equal(Hold, r.Outcome));
        Assert.Equal(Hold, m.Judged().Outcome);
    }

    [Fact]
    public void PitchPocketSpacing_LengthsUnsure_CountAgainstIt() // the longer may be 26 mm and need 156; 155 less the rims may be 154
    {
        BlemishFinding[] pair = [Mark(BlemishKind.PitchPocket, 25.5, 2, 100, half: 0.5), Mark(BlemishKind.PitchPocket, 20, 2, 255, half: 0.5)];
        Assert.Equal(Hold, Part(Face(blemishes: pair), "spar", "spacingMm", "pitch-pocket-solid-spar").Outcome);
    }

    [Fact]
    public void PitchPocketLength_DistanceFromTheEdgeUnsure_Holds() // 4 x (9.8 to 10.2) mm against 39.8 to 40.2
    {
        var m = Face(blemishes: [Mark(BlemishKind.PitchPocket, 40, 2, acrossMm: 11.02, half: 0.2) with { EdgeDistanceMm = 10.02 }]) with { Size = new SectionSize(Measured.Exact(1500), Measured.Exact(WidthMm)) };
        // Sure of the length, unsure of the edge: the edge alone holds it.
        Assert.Equal(Hold, m.Judged().Reasons.First(r => r.LimitId == "pitch-pocket-solid-spar").Outcome);
        var sureOfBoth = Face(blemishes: [Mark(BlemishKind.PitchPocket, 37, 2, acrossMm: 11.5, half: 0.2) with { EdgeDistanceMm = 10.4 }]);
        Assert.Equal(Accept, sureOfBoth.Judged().Reasons.First(r => r.LimitId == "pitch-pocket-solid-spar").Outcome);
        var unsureOfTheEdge = Face(blemishes: [Mark(BlemishKind.PitchPocket, 36, 2, acrossMm: 10.3, half: 0.4) with { EdgeDistanceMm = 9.3 }]);
        Assert.Equal(Hold, unsureOfTheEdge.Judged().Reasons.First(r => r.LimitId == "pitch-pocket-solid-spar").Outcome);
    }

    private static Reason Part(Measurement m, string book, string quantity, string? limitId = null) =>
        m.Judged(book).Reasons.First(r => r.Quantity == quantity && (limitId is null || r.LimitId == limitId));
}
