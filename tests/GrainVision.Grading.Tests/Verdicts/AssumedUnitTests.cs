using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Tests.Pieces;
using GrainVision.Grading.Verdicts;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Verdicts;

/// <summary>
/// A rule of 20 parts to the inch (1.27 mm) is divided like millimetres. Read so, wood of 5 rings per inch counts 6.35 and would pass the spar's 6
/// (ANC-19 2.413): no verdict may rest on a unit that is only assumed.
/// </summary>
public class AssumedUnitTests
{
    private static readonly ScaleFinding Assumed = new(ScaleKind.Rule, Samples.About(10, 0.1), SteelRuleUnit.Mm, 0.99) { UnitBasis = SteelRuleUnitBasis.Assumed };

    private static readonly ScaleFinding Told = Assumed with { UnitBasis = SteelRuleUnitBasis.Told };

    [Theory]
    [InlineData(SteelRuleUnit.Mm, SteelRuleUnitBasis.Assumed, Hold)]
    [InlineData(SteelRuleUnit.Mm, null, Hold)] // a record from before the basis was told
    [InlineData(null, null, Hold)]
    [InlineData(SteelRuleUnit.Mm, SteelRuleUnitBasis.Told, Accept)]
    [InlineData(SteelRuleUnit.Mm, SteelRuleUnitBasis.Graduations, Accept)]
    [InlineData(SteelRuleUnit.Inch, SteelRuleUnitBasis.Graduations, Accept)]
    [InlineData(SteelRuleUnit.Inch, null, Accept)] // only inches are halved
    public void GoodEnd_ByBasisOfTheUnit_IsAcceptedOrHeld(SteelRuleUnit? unit, SteelRuleUnitBasis? basis, VerdictOutcome expected)
    {
        var verdict = (Samples.End() with { Scale = Assumed with { Unit = unit, UnitBasis = basis } }).Judged();
        Assert.Equal(expected, verdict.Outcome);
        Assert.Equal(expected == Hold, verdict.Reasons.Any(r => r.LimitId == "rule-unit"));
        Assert.Equal(expected == Hold, verdict.HandChecks.Any(h => h.Contains("is it metric", StringComparison.Ordinal)));
    }

    [Fact]
    public void CoarseEnd_UnitAssumed_IsHeldAndNotRejected()
    {
        var coarse = Samples.End(Samples.About(4.5, 0.2));
        Assert.Equal(Reject, (coarse with { Scale = Told }).Judged().Outcome);
        var verdict = (coarse with { Scale = Assumed }).Judged();
        Assert.Equal(Hold, verdict.Outcome);
        Assert.Contains("unit is assumed", verdict.Of("rings-per-inch").Text, StringComparison.Ordinal);
    }

    [Fact]
    public void FlatRings_UnitAssumed_AreRejectedAllTheSame() =>
        Assert.Equal(Reject, (Samples.End(angle: Samples.Angle(20, 0.5)) with { Scale = Assumed }).Judged().Outcome);

    [Theory]
    [InlineData(HandAnswer.Met, 10.6, Accept)]
    [InlineData(HandAnswer.Met, 4.5, Reject)] // the rule is metric after all, and so the rings are too coarse
    [InlineData(HandAnswer.Broken, 10.6, Hold)] // not metric: the photo says nothing of lengths, and nothing against the wood
    public void Piece_APersonLooksAtTheRule_IsJudgedByIt(HandAnswer answer, double worst, VerdictOutcome expected)
    {
        var piece = PieceSamples.Photos().With(PieceSamples.End(Surface.EndA, Samples.About(worst, 0.2)));
        var first = piece.First(p => p.Place.Surface == Surface.EndA);
        var photos = piece.With(first with { Measurement = first.Measurement with { Id = "end-a", Scale = Assumed, Size = Shrunk(first.Measurement.Size!) } });
        Assert.Equal(Hold, PieceAssessment.From(PieceSamples.Flitch, photos, []).GiveVerdict(Samples.Spar).Outcome);
        var hand = new HandFinding { Measurement = "end-a", Limit = "rule-unit", Answer = answer, Instrument = "eye", By = "a person" };
        Assert.Equal(expected, PieceAssessment.From(PieceSamples.Flitch, photos, [hand]).GiveVerdict(Samples.Spar).Outcome);
        Assert.Equal(Hold, PieceAssessment.From(PieceSamples.Flitch, photos, [hand with { Measurement = "other" }]).GiveVerdict(Samples.Spar).Outcome);
    }

    [Theory]
    [InlineData(1, Accept)]
    [InlineData(0.95, Accept)]
    [InlineData(1 / 1.27, Hold)] // a 20th taken for a millimetre
    [InlineData(1 / 0.847, Hold)] // a 30th
    [InlineData(0.875, Hold)] // planed an eighth under its quarters: could be either
    public void Piece_UnitAssumedOnEveryPhoto_IsSettledByItsStatedSize(double factor, VerdictOutcome expected)
    {
        var photos = PieceSamples.Photos();
        IReadOnlyList<PlacedMeasurement> seen = [.. photos.Select(p => p with
        {
            Measurement = p.Measurement with { Scale = Assumed, Size = new SectionSize(Across(p, p.Measurement.Size!.FirstSideMm, factor), p.Measurement.Size.SecondSideMm.Scale(factor)) },
        })];
        var verdict = seen.Judged();
        Assert.True(verdict.Outcome == expected, verdict.Reasons[0].Text);
        Assert.Equal(expected == Hold ? 6 : 0, verdict.Reasons.Count(r => r.LimitId == "rule-unit"));
    }

    [Fact]
    public void ClearLengths_UnitAssumedAndSizeUnlike_AskForTheRule()
    {
        var photos = PieceSamples.Photos();
        var end = photos.First(p => p.Place.Surface == Surface.EndB);
        var doubtful = photos.With(end with { Measurement = end.Measurement with { Scale = Assumed, Size = Shrunk(end.Measurement.Size!) } });
        Assert.All(
            ClearLengths.Find(PieceSamples.Flitch, doubtful.Joined(), Samples.Spar),
            c => Assert.Contains(c.HandChecks, h => h.Contains("is it metric", StringComparison.Ordinal)));
    }

    /// <summary>Stations of a face stay as they are: the test is of the size across.</summary>
    private static Measured Across(PlacedMeasurement photo, Measured first, double factor) => photo.Place.Surface is Surface.EndA or Surface.EndB ? first.Scale(factor) : first;

    private static SectionSize Shrunk(SectionSize size) => new(size.FirstSideMm.Scale(1 / 1.27), size.SecondSideMm.Scale(1 / 1.27));
}
