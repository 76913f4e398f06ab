using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Tests.Verdicts;

namespace GrainVision.Grading.Tests.Pieces;

/// <summary>
/// What a hand measurement may settle and what not, of a piece outside a delivery: nobody says which surface a photo shows. Limits of the spar book: 6 rings/in for Sitka spruce (ANC-19 2.413), slope 1:15 (AC 43.13-1B
/// Table 1-1), edge grain 45 degrees (ANC-19 2.402); guarded acceptance by JCGM 106.
/// </summary>
public class LoosePieceTests
{
    private static readonly Measured Doubtful = Samples.About(6.1, 0.5); // its interval holds the limit of 6

    [Fact]
    public void Piece_AllShownAndMet_IsAccepted() => Assert.Equal(VerdictOutcome.Accept, Judge(Whole()).Outcome);

    /// <summary>The same evidence as a piece of a delivery: both ends, faces looked over from end to end, moisture, weight.</summary>
    [Fact]
    public void Piece_PhotosAlone_IsHeldForWhatADeliverysPieceNeedsToo()
    {
        var verdict = PieceAssessment.OfLoose([.. Whole().Select(e => e.Measurement)], []).GiveVerdict(Samples.Spar);
        Assert.Equal(VerdictOutcome.Hold, verdict.Outcome);
        Assert.Equal(["all-faces", "moisture", "specific-gravity"], verdict.Reasons.Where(r => r.Outcome == VerdictOutcome.Hold).Select(r => r.LimitId).Distinct().Order());
    }

    /// <summary>What has a number on an end or a face is not settled by a look.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(2)]
    public void Piece_AnEndOrASecondFaceShort_IsHeldWhateverIsAnswered(int missing)
    {
        var evidence = Whole();
        evidence.RemoveAt(missing);
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence).Outcome);
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence, Answer("all-faces", HandAnswer.Met)).Outcome);
        Assert.Equal(VerdictOutcome.Reject, Judge(evidence, Answer("all-faces", HandAnswer.Broken)).Outcome);
    }

    [Theory]
    [InlineData(6.6, 0.4, VerdictOutcome.Accept)]
    [InlineData(6.3, 0.4, VerdictOutcome.Hold)] // the hand's own interval holds the limit
    [InlineData(5.4, 0.4, VerdictOutcome.Reject)]
    public void HeldRings_CountedByHand_AreJudgedWithTheHandsInterval(double value, double plusMinus, VerdictOutcome expected)
    {
        var evidence = Whole();
        evidence[0] = evidence[0] with { Measurement = evidence[0].Measurement with { Rings = Samples.End(Doubtful, Samples.About(8, 0.5)).Rings } };
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence).Outcome);
        Assert.Equal(expected, Judge(evidence, Rings("end-0", value, plusMinus)).Outcome);
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence, Rings("end-1", value, plusMinus) with { Value = 9 }).Outcome); // counted on the other end
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence, Answer("rings-per-inch", HandAnswer.Met)).Outcome); // a limit with a number wants the number
    }

    [Fact]
    public void HeldRings_CountedTwice_TheLatestCounts()
    {
        var evidence = Whole();
        evidence[0] = evidence[0] with { Measurement = evidence[0].Measurement with { Rings = Samples.End(Doubtful, Samples.About(8, 0.5)).Rings } };
        Assert.Equal(VerdictOutcome.Reject, Judge(evidence, Rings("end-0", 7, 0.3), Rings("end-0", 5, 0.3)).Outcome);
    }

    [Fact]
    public void RejectedRings_CountedBetterByHand_StayRejected()
    {
        var evidence = Whole();
        evidence[0] = evidence[0] with { Measurement = evidence[0].Measurement with { Rings = Samples.End(Samples.About(4, 0.3)).Rings } };
        var verdict = Judge(evidence, Rings("end-0", 9, 0.2), new HandFinding { Measurement = "end-0", Quantity = "perInch", Value = 9.2, PlusMinus = 0.2, Unit = "rings/in", Instrument = "lens", By = "A" });
        Assert.Equal(VerdictOutcome.Reject, verdict.Outcome);
        Assert.Contains(verdict.Reasons, r => r.Text.Contains("not a reject", StringComparison.Ordinal));
    }

    [Fact]
    public void RingsThatCouldNotBeCounted_NeedTheMeanToo()
    {
        var evidence = Whole();
        evidence[0] = evidence[0] with { Measurement = evidence[0].Measurement with { Rings = null, CannotSay = [new CannotSay(CannotSayTopic.Rings, "too fine", "Count by hand.")] } };
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence, Rings("end-0", 9, 0.3)).Outcome);
        Assert.Equal(VerdictOutcome.Accept, Judge(evidence, Rings("end-0", 9, 0.3), Rings("end-0", 10, 0.3) with { Quantity = "perInch" }).Outcome);
    }

    [Fact]
    public void HeldAngle_NeedsMiddleLeastAndGreatest()
    {
        var evidence = Whole();
        evidence[0] = evidence[0] with { Measurement = evidence[0].Measurement with { RingAngle = Samples.Angle(48, 6, 44, 52) } };
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence).Outcome);
        // A sharp middle must not lend its sharpness to the least angle of the photo.
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence, Angle("ringAngle", 50)).Outcome);
        Assert.Equal(VerdictOutcome.Accept, Judge(evidence, Angle("ringAngle", 50), Angle("leastRingAngle", 47), Angle("greatestRingAngle", 53)).Outcome);
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence, Angle("ringAngle", 50), Angle("leastRingAngle", 45.5), Angle("greatestRingAngle", 53)).Outcome);
    }

    [Theory]
    [InlineData("oneIn", 25, 2, VerdictOutcome.Accept)]
    [InlineData("oneIn", 18, 2, VerdictOutcome.Hold)] // flat enough for one face, not for two combined (1:21.2, ANC-19 2.4102)
    [InlineData("oneIn", 12, 1, VerdictOutcome.Reject)]
    [InlineData("tangent", 0.04, 0.004, VerdictOutcome.Accept)]
    public void HeldSlope_InkedByHand_IsJudgedWithTheHandsInterval(string unit, double value, double plusMinus, VerdictOutcome expected)
    {
        var evidence = Whole();
        evidence[2] = evidence[2] with { Measurement = Samples.Face(Samples.About(0.06, 0.02)) with { Photo = evidence[2].Measurement.Photo } };
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence).Outcome);
        HandFinding Slope(string quantity) => new() { Measurement = "face-0", Quantity = quantity, Value = value, PlusMinus = plusMinus, Unit = unit, Instrument = "scribe and steel rule", By = "A" };
        Assert.NotEqual(VerdictOutcome.Accept, Judge(evidence, Slope("worstWindow")).Outcome); // the outer eighth is still open
        Assert.Equal(expected, Judge(evidence, Slope("worstWindow"), Slope("outerEighths")).Outcome);
    }

    [Theory]
    [InlineData(16.5, 1, VerdictOutcome.Accept)]
    [InlineData(15.5, 1, VerdictOutcome.Hold)]
    public void HeldSlope_OfTwoFacesCombinedByHand_IsSettled(double oneIn, double plusMinus, VerdictOutcome expected)
    {
        var evidence = Whole();
        evidence[2] = evidence[2] with { Measurement = Samples.Face(Samples.About(0.06, 0.003)) with { Photo = evidence[2].Measurement.Photo } };
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence).Outcome);
        var combined = new HandFinding { Quantity = "combinedSlope", Value = oneIn, PlusMinus = plusMinus, Unit = "oneIn", Instrument = "splitting a sliver", By = "A" };
        Assert.Equal(expected, Judge(evidence, combined).Outcome);
    }

    [Fact]
    public void DoubtfulMark_ThatIsNoBlemish_IsStruckOutAndTheOthersKeepTheirNumbers()
    {
        var evidence = Whole();
        var photo = evidence[2].Measurement.Photo;
        evidence[2] = evidence[2] with { Measurement = Samples.Face(blemishes: [Samples.Knot(5, probability: 0.4), Samples.Knot(6, alongMm: 1200, probability: 0.4)]) with { Photo = photo } };
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence).Outcome);
        var verdict = Judge(evidence, Mark(1, "none"));
        Assert.Equal(VerdictOutcome.Hold, verdict.Outcome);
        Assert.Contains(verdict.Reasons, r => r.Text.Contains("mark 2", StringComparison.Ordinal));
        Assert.DoesNotContain(verdict.Reasons, r => r.Text.Contains("mark 1", StringComparison.Ordinal));
        Assert.Equal(VerdictOutcome.Accept, Judge(evidence, Mark(1, "none"), Mark(2, "none")).Outcome);
        Assert.Equal(VerdictOutcome.Reject, Judge(evidence, Mark(1, "none"), Mark(2, "check")).Outcome); // checks are never allowed
    }

    [Fact]
    public void SureBlemish_CalledNone_StaysAReject()
    {
        var evidence = Whole();
        var photo = evidence[2].Measurement.Photo;
        evidence[2] = evidence[2] with { Measurement = Samples.Face(blemishes: [Samples.Mark(BlemishKind.Check, 30, 1)]) with { Photo = photo } };
        Assert.Equal(VerdictOutcome.Reject, Judge(evidence).Outcome);
        Assert.Equal(VerdictOutcome.Reject, Judge(evidence, Mark(1, "none")).Outcome);
    }

    [Fact]
    public void BlemishSizes_HalfASet_ChangesNothing()
    {
        var evidence = Whole();
        var photo = evidence[2].Measurement.Photo;
        evidence[2] = evidence[2] with { Measurement = Samples.Face(blemishes: [Samples.Knot(9.4, half: 0.6)]) with { Photo = photo } }; // against 3/8 in, 9.525 mm
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence).Outcome);
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence, Size("diameterMm", 8)).Outcome);
        Assert.Equal(VerdictOutcome.Accept, Judge(evidence, Size("diameterMm", 8), Size("lengthMm", 8.5), Size("widthMm", 8), Size("edgeDistanceMm", 71)).Outcome);
        Assert.Equal(VerdictOutcome.Reject, Judge(evidence, Size("diameterMm", 11), Size("lengthMm", 11), Size("widthMm", 11), Size("edgeDistanceMm", 69)).Outcome);
    }

    [Fact]
    public void UnlistedSpecies_NoHandFindingSettlesIt()
    {
        var evidence = Whole().ConvertAll(e => e with { Measurement = e.Measurement with { Species = "white-ash" } });
        Assert.Equal(VerdictOutcome.Hold, Judge(evidence, Rings("end-0", 20, 0.1), Rings("end-1", 20, 0.1), Answer("rings-per-inch", HandAnswer.Met), Answer("slope-of-grain", HandAnswer.Met)).Outcome);
    }

    /// <summary>The hunt: random evidence and random hand findings never turn what the photos reject into an accept.</summary>
    [Fact]
    public void Reject_WhateverIsEnteredByHand_NeverBecomesAccept()
    {
        var random = new Random(6);
        for (var i = 0; i < 3_000; i++)
        {
            var evidence = Whole();
            var k = random.Next(4);
            var worst = Samples.About(3 + (5 * random.NextDouble()), 0.4);
            var photo = evidence[k].Measurement.Photo;
            evidence[k] = evidence[k] with
            {
                Measurement = (k < 2 ? Samples.End(worst, Samples.About(worst.Value + 1, 0.4)) : Samples.Face(Samples.About(0.12 * random.NextDouble(), 0.01), blemishes: [Samples.Knot(15 * random.NextDouble(), half: 0.5)])) with { Photo = photo },
            };
            var hands = Enumerable.Range(0, random.Next(1, 8)).Select(_ => Anything(random, evidence[k].Id)).Where(h => h.Problem() is null).ToArray();
            if (Judge(evidence).Outcome == VerdictOutcome.Reject)
                Assert.NotEqual(VerdictOutcome.Accept, Judge(evidence, hands).Outcome);
        }
    }

    private static HandFinding Anything(Random random, string id)
    {
        var finding = new HandFinding { Measurement = id, Instrument = "rule", By = "A" };
        switch (random.Next(3))
        {
            case 0:
                return finding with { Blemish = 1, Is = random.Next(2) == 0 ? "none" : "knot" };
            case 1:
                return finding with { Limit = Samples.Spar.Limits[random.Next(Samples.Spar.Limits.Count)].Id, Answer = HandAnswer.Met };
            default:
                var (quantity, units) = HandQuantities.UnitsOf.ElementAt(random.Next(HandQuantities.UnitsOf.Count));
                return finding with { Quantity = quantity, Unit = units[random.Next(units.Count)], Value = 40 * random.NextDouble(), PlusMinus = 0.1, Blemish = 1 };
        }
    }

    private static Verdict Judge(IReadOnlyList<Evidence> evidence, params IReadOnlyList<HandFinding> hands)
    {
        Assert.All(hands, h => Assert.Null(h.Problem()));
        return PieceAssessment.OfLoose([.. evidence.Select(e => e.Measurement with { Id = e.Id })], [.. Settled, .. hands]).GiveVerdict(Samples.Spar);
    }

    /// <summary>What an accept needs beside these photos.</summary>
    private static IReadOnlyList<HandFinding> Settled =>
    [
        new() { Quantity = HandQuantities.Moisture, Value = 10, Unit = "%", Method = MoistureMethod.OvenDry, Instrument = "oven and balance", By = "A" },
        new() { Quantity = HandQuantities.SpecificGravity, Value = 0.41, PlusMinus = 0.02, Unit = "1", Instrument = "oven and balance", By = "A" },
        Answer("all-faces", HandAnswer.Met),
    ];

    /// <summary>Both ends and two faces that the spar book accepts.</summary>
    private static List<Evidence> Whole() =>
    [
        Of("end-0", Samples.End(), 'a'), Of("end-1", Samples.End(), 'b'), Of("face-0", Samples.Face(), 'c'), Of("face-1", Samples.Face(), 'd'),
    ];

    private static Evidence Of(string id, Measurement m, char photo) => new(id, m with { Photo = m.Photo with { Sha256 = new string(photo, 64) } });

    private static HandFinding Rings(string id, double value, double plusMinus) =>
        new() { Measurement = id, Quantity = "worstInch", Value = value, PlusMinus = plusMinus, Unit = "rings/in", Instrument = "lens and steel rule", By = "A" };

    private static HandFinding Angle(string quantity, double value) =>
        new() { Measurement = "end-0", Quantity = quantity, Value = value, PlusMinus = 1, Unit = "deg", Instrument = "protractor", By = "A" };

    private static HandFinding Mark(int number, string kind) => new() { Measurement = "face-0", Blemish = number, Is = kind, Instrument = "lens", By = "A" };

    private static HandFinding Size(string quantity, double value) =>
        new() { Measurement = "face-0", Blemish = 1, Quantity = quantity, Value = value, PlusMinus = 0.2, Unit = "mm", Instrument = "calliper", By = "A" };

    private static HandFinding Answer(string limit, HandAnswer answer) => new() { Limit = limit, Answer = answer, Instrument = "eye and lens", By = "A" };

    private sealed record Evidence(string Id, Measurement Measurement);
}
