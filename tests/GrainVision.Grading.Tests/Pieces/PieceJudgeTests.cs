using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Tests.Verdicts;
using static GrainVision.Grading.Tests.Pieces.PieceSamples;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Pieces;

public class PieceJudgeTests
{
    private const double In = Units.MmPerInch;

    [Theory]
    [InlineData("spar")]
    [InlineData("longeron-and-small-parts")]
    [InlineData("cap-strip")]
    [InlineData("shop-order")]
    public void Piece_EverythingShownGood_IsAccepted(string book)
    {
        var verdict = Photos().Judged(book);
        Assert.True(verdict.Outcome == Accept, verdict.Reasons[0].Text);
        Assert.Equal(("this piece", book), (verdict.Scope, verdict.RuleBook));
        Assert.Contains(verdict.Cautions, c => c.Contains("Never a finding of airworthiness", StringComparison.Ordinal));
        Assert.Contains(verdict.HandChecks, h => h.Contains("compression failures", StringComparison.Ordinal)); // never shown by photos
        Assert.DoesNotContain(verdict.HandChecks, h => h.StartsWith("Other views still to do", StringComparison.Ordinal));
    }

    [Theory] // AC 43.13-1B: all four faces are checked; ANC-19 2.413: either end
    [InlineData(Surface.EndA)]
    [InlineData(Surface.EndB)]
    [InlineData(Surface.Face1)]
    [InlineData(Surface.Face2)]
    [InlineData(Surface.Face3)]
    [InlineData(Surface.Face4)]
    public void Piece_SurfaceNotShown_HoldsWithItsHandCheck(Surface missing)
    {
        foreach (var book in RuleBookSet.Embedded.Latest)
        {
            var verdict = Photos().Without(missing).Judged(book.Id);
            Assert.Equal(Hold, verdict.Outcome);
            var reason = verdict.Reasons.Single(r => r.LimitId == "all-faces" && r.Surface == missing);
            Assert.Contains("was not photographed", reason.HandCheck, StringComparison.Ordinal);
            Assert.Contains(reason.HandCheck!, verdict.HandChecks);
        }
    }

    [Fact]
    public void Piece_NoPhotosAtAll_Holds() => Assert.Equal(Hold, ((IReadOnlyList<PlacedMeasurement>)[]).Judged().Outcome);

    [Theory] // half of the face twice: 762 mm each, 25 mm of station uncertainty to either side
    [InlineData(0, 762, 762, Hold)]
    [InlineData(0, 800, 700, Accept)]
    [InlineData(0, 1000, 700, Accept)]
    [InlineData(60, 1000, 700, Hold)]
    public void Piece_FaceInParts_NeedsPhotosThatOverlap(double from, double shown, double second, VerdictOutcome expected)
    {
        var verdict = Photos().With(Face(Surface.Face2, from, shown), Face(Surface.Face2, second, LengthMm - second)).Judged();
        Assert.True(verdict.Outcome == expected, verdict.Reasons[0].Text);
    }

    [Fact]
    public void Piece_PhotoWithoutAStation_CoversNothing() => Assert.Equal(Hold, Photos().With(Face(Surface.Face1, null, 900), Face(Surface.Face1, 800, LengthMm - 800)).Judged().Outcome);

    [Fact]
    public void Piece_WorstInchOfOneEndBroken_IsRejected() // ANC-19 2.413 and Table 2-13: 6 for spruce
    {
        var verdict = Photos().With(End(Surface.EndB, Samples.About(5.5, 0.3))).Judged();
        Assert.Equal((Reject, "rings-per-inch", Surface.EndB), (verdict.Outcome, verdict.Reasons[0].LimitId, verdict.Reasons[0].Surface));
    }

    [Fact]
    public void Piece_EndThatOnePhotoCouldNotCount_IsSettledByAnother()
    {
        var blurred = End(Surface.EndA);
        blurred = blurred with { Measurement = blurred.Measurement with { Rings = null, Photo = blurred.Measurement.Photo with { Sha256 = "b" }, CannotSay = [new CannotSay(CannotSayTopic.Rings, "blur", "Count.")] } };
        Assert.Equal(Accept, ((IReadOnlyList<PlacedMeasurement>)[.. Photos(), blurred]).Judged().Outcome);
        Assert.Equal(Hold, Photos().With(blurred).Judged().Outcome);
    }

    [Theory] // 1:15, AC 43.13-1B Table 1-1; combined by ANC-19 2.3022
    [InlineData(20, 30, Accept)]
    [InlineData(20, 25, Accept)]
    [InlineData(18, 22, Reject)]
    [InlineData(21, 21, Reject)] // ANC-19 2.4102: 1:14.85
    [InlineData(14, 1000, Reject)]
    public void Piece_SlopesOfAdjacentFaces_AreJudgedCombined(double wide, double narrow, VerdictOutcome expected)
    {
        var (w, n) = (Measured.Exact(1 / wide), Measured.Exact(1 / narrow));
        var verdict = Photos().With(Face(Surface.Face1, slope: w), Face(Surface.Face2, slope: n), Face(Surface.Face3, slope: w), Face(Surface.Face4, slope: n)).Judged();
        Assert.True(verdict.Outcome == expected, verdict.Reasons[0].Text);
    }

    [Fact]
    public void Piece_SlopeIntervalReachesOverTheLimit_Holds()
    {
        var s = Samples.About(1 / 22.0, 0.006);
        Assert.Equal(Hold, Photos().With([.. Faces.Select(f => Face(f, slope: s))]).Judged().Outcome);
    }

    [Fact]
    public void Piece_OneFaceCannotSaySlope_Holds()
    {
        var face = Face(Surface.Face4);
        var mute = face with { Measurement = face.Measurement with { Grain = null, CannotSay = [new CannotSay(CannotSayTopic.Grain, "flat grain", "Ink it.")] } };
        var verdict = Photos().With(mute).Judged();
        Assert.Equal(Hold, verdict.Outcome);
        Assert.Contains("Face 4: Ink it.", verdict.HandChecks);
    }

    [Theory] // AC 43.13-1B Table 1-1 notes: 3/8 in at 20 in; on one photo exact, so 20 passes and 19 fails
    [InlineData(20, Accept)]
    [InlineData(19, Reject)]
    public void Knots_ThreeEighthsOnOnePhoto_BySpacing(double apartIn, VerdictOutcome expected)
    {
        var verdict = Photos((Surface.Face1, Knot(0.375 * In, 400)), (Surface.Face1, Knot(0.375 * In, 400 + (apartIn * In)))).Judged();
        Assert.True(verdict.Outcome == expected, verdict.Reasons[0].Text);
    }

    [Theory] // the same on two faces or photos: 25 mm of station uncertainty each, so 50 mm either way are open; face to face at most 160 mm across
    [InlineData(23, Accept)]
    [InlineData(20, Hold)]
    [InlineData(19, Hold)]
    [InlineData(16, Reject)]
    public void Knots_ThreeEighthsOnTwoFaces_BySpacingAndItsInterval(double apartIn, VerdictOutcome expected)
    {
        var verdict = Photos((Surface.Face1, Knot(0.375 * In, 400)), (Surface.Face3, Knot(0.375 * In, 400 + (apartIn * In)))).Judged();
        Assert.True(verdict.Outcome == expected, verdict.Reasons[0].Text);
        var apart = Photos().With(
            Face(Surface.Face1, 0, 700, blemishes: Knot(0.375 * In, 400)), Face(Surface.Face1, 500, LengthMm - 500, blemishes: Knot(0.375 * In, (apartIn * In) - 100))).Judged();
        Assert.True(apart.Outcome == expected, apart.Reasons[0].Text);
    }

    [Fact]
    public void Knot_OnANarrowFace_IsRejectedInASpar() // AC 43.13-1B: not on edges of rectangular beams
    {
        var verdict = Photos((Surface.Face2, Knot(3, 700, width: NarrowMm))).Judged();
        Assert.Equal((Reject, "knot"), (verdict.Outcome, verdict.Reasons[0].LimitId));
        Assert.Equal(Hold, Photos((Surface.Face2, Knot(3, 700, width: NarrowMm, probability: 0.8))).Judged().Outcome);
    }

    [Theory] // AC 43.13-1B: grain at the board's edge within the slope limit; alone flat enough from 1:21.2 (ANC-19 2.4102)
    [InlineData(25, Accept)]
    [InlineData(18, Hold)]
    [InlineData(14, Reject)]
    public void Knot_GrainAtTheEdgeBesideIt_Decides(double oneIn, VerdictOutcome expected) =>
        Assert.Equal(expected, Photos((Surface.Face1, Knot(8, 700) with { EdgeSlope = Measured.Exact(1 / oneIn) })).Judged().Outcome);

    [Fact]
    public void Knot_GrainAtTheEdgeNotMeasured_HoldsForInk()
    {
        var verdict = Photos((Surface.Face1, Knot(8, 700) with { EdgeSlope = null })).Judged();
        Assert.Equal(Hold, verdict.Outcome);
        Assert.Contains(verdict.HandChecks, h => h.Contains("Scribe or ink the grain at both edges of the face beside the knot", StringComparison.Ordinal));
    }

    [Fact]
    public void Knot_StationUnknownAndAnotherOnThePiece_Holds() => Assert.Equal(Hold,
        Photos((Surface.Face3, Knot(4, 300))).With(Face(Surface.Face1), Face(Surface.Face1, null, 400, name: "x", blemishes: Knot(4, 200))).Judged().Outcome);

    [Theory] // ANC-19 2.301: on opposite faces the average, counted once; that it is one knot a person must see
    [InlineData(8, 8, Hold)]
    [InlineData(10, 8, Hold)]
    [InlineData(12, 8, Reject)]
    public void Knot_ThroughToTheOppositeFace_IsNeverAcceptedUnseen(double one, double two, VerdictOutcome expected)
    {
        var verdict = Photos((Surface.Face1, Knot(one, 700)), (Surface.Face3, Knot(two, 700))).Judged();
        Assert.True(verdict.Outcome == expected, verdict.Reasons[0].Text);
        if (expected == Hold)
            Assert.Contains(verdict.HandChecks, h => h.Contains("are one", StringComparison.Ordinal));
    }

    [Theory] // AC 43.13-1B Table 1-1 notes: never
    [InlineData(BlemishKind.SpikeKnot)]
    [InlineData(BlemishKind.Check)]
    [InlineData(BlemishKind.ShakeOrSplit)]
    [InlineData(BlemishKind.LooseKnot)]
    public void NeverAllowedKind_AtAnyProbability_RejectsOrHolds(BlemishKind kind)
    {
        foreach (var book in new[] { "spar", "longeron-and-small-parts", "cap-strip" })
        {
            foreach (var probability in new[] { 0.01, 0.3, 0.94, 0.95, 1 })
            {
                foreach (var surface in Faces.Append(Surface.EndA))
                {
                    var mark = Knot(3, 700, probability: probability, kind: kind, width: NarrowMm);
                    var photos = surface == Surface.EndA
                        ? Photos().With(End(Surface.EndA) with { Measurement = End(Surface.EndA).Measurement with { Blemishes = [mark] } })
                        : Photos((surface, mark));
                    Assert.Equal(probability >= 0.95 ? Reject : Hold, photos.Judged(book).Outcome);
                }
            }
        }
    }

    [Fact]
    public void NeverAllowedKinds_SureOnlyTogether_Reject()
    {
        var mark = Knot(3, 700, probability: 0.5, kind: BlemishKind.Check) with { Kinds = [new(BlemishKind.Check, 0.5), new(BlemishKind.ShakeOrSplit, 0.48)] };
        Assert.Equal(Reject, Photos((Surface.Face1, mark)).Judged().Outcome);
        Assert.Equal(Hold, Photos((Surface.Face1, mark with { Kinds = [new(BlemishKind.Check, 0.5), new(BlemishKind.Knot, 0.5)] })).Judged().Outcome);
        // Kinds that contradict the finding count for nothing.
        Assert.Equal(Hold, Photos((Surface.Face1, mark with { Kinds = [new(BlemishKind.Check, 0.9), new(BlemishKind.ShakeOrSplit, 0.9)] })).Judged().Outcome);
    }

    [Fact]
    public void Knot_ThatMayBeASpikeKnot_Holds() =>
        Assert.Equal(Hold, Photos((Surface.Face1, Knot(8, 700, probability: 0.9) with { Kinds = [new(BlemishKind.Knot, 0.9), new(BlemishKind.SpikeKnot, 0.1)] })).Judged().Outcome);

    [Fact]
    public void PinKnotCluster_HoldsForItsEffectOnTheGrain() // AC 43.13-1B: small effect on grain direction only
    {
        var verdict = Photos((Surface.Face1, Knot(8, 700, kind: BlemishKind.PinKnotCluster))).Judged();
        Assert.Equal((Hold, "pin-knot-cluster"), (verdict.Outcome, verdict.Reasons[0].LimitId));
    }

    [Theory] // AC 43.13-1B: 1-1/2 in; the depth never shows, so the length alone passes and the pocket holds
    [InlineData(1.51, Reject)]
    [InlineData(1.50, Hold)]
    public void Pocket_ByLength(double lengthIn, VerdictOutcome expected)
    {
        var verdict = Photos((Surface.Face1, Samples.Mark(BlemishKind.PitchPocket, lengthIn * In, 2))).Judged();
        Assert.Equal(expected, verdict.Outcome);
        Assert.Equal(expected == Reject, verdict.Reasons.Any(r => r.Quantity == "lengthMm" && r.Outcome == Reject));
    }

    [Theory] // ANC-19 2.4213: 6 times the shorter always; on two faces with the stations' 50 mm
    [InlineData(2, Reject)]
    [InlineData(7, Hold)]
    public void Pockets_OnTwoFaces_BySpacing(double apartIn, VerdictOutcome expected) => Assert.Equal(expected, Photos(
        (Surface.Face1, Samples.Mark(BlemishKind.PitchPocket, In, 2, 700)), (Surface.Face3, Samples.Mark(BlemishKind.PitchPocket, In, 2, 700 + (apartIn * In)))).Judged().Of("pitch-pocket-solid-spar").Outcome);

    [Theory] // ANC-19 2.426: a knot only on a flat-sawn face, under 45 degrees (2.402), in the middle half, at most 1/8 of the width
    [InlineData(80, Surface.Face1, 5, Reject)]
    [InlineData(30, Surface.Face1, 5, Accept)]
    [InlineData(45.5, Surface.Face1, 5, Hold)]
    [InlineData(80, Surface.Face2, 5, Accept)]
    [InlineData(80, Surface.Face2, 7, Reject)]
    [InlineData(80, Surface.Face1, 1.5, Accept)] // under 1/16 in: ignored singly (2.4201)
    public void SmallPartKnot_ByCutOfItsFace(double ringAngle, Surface face, double mm, VerdictOutcome expected)
    {
        var angle = Samples.Angle(ringAngle, 1);
        var knots = Photos((face, Knot(mm, 700, width: AcrossOf(face)))).With(End(Surface.EndA, angle: angle), End(Surface.EndB, angle: angle));
        var reason = knots.Judged("longeron-and-small-parts").Reasons.First(r => r.LimitId == "knot");
        Assert.True(reason.Outcome == expected, reason.Text);
    }

    [Fact]
    public void CannotSay_PhotoOnTheWrongSurface_Holds()
    {
        var narrow = Face(Surface.Face2, name: "x");
        var verdict = ((IReadOnlyList<PlacedMeasurement>)[.. Photos(), narrow with { Place = narrow.Place with { Surface = Surface.Face1 } }]).Judged();
        Assert.Equal((Hold, "cannot-say"), (verdict.Outcome, verdict.Reasons[0].LimitId));
    }

    [Fact]
    public void Reasons_OfAPiece_NameSurfaceStationAndPhoto()
    {
        var photos = Photos((Surface.Face1, Knot(3, 200)), (Surface.Face3, Knot(20, 1100, kind: BlemishKind.Check)));
        var reason = photos.Judged().Reasons[0];
        Assert.StartsWith("Face 3: Check (mark 2)", reason.Text, StringComparison.Ordinal);
        Assert.Equal((Surface.Face3, 1100.0), (reason.Surface, reason.StationMm));
        Assert.Equal(photos.Single(p => p.Place.Surface == Surface.Face3).Measurement.Photo.Sha256, reason.Photo);
    }

    [Fact]
    public void Blemish_NoLimitForIt_HoldsAsNotCovered()
    {
        var book = Samples.Spar with { Limits = [.. Samples.Spar.Limits.Where(l => l is not IBlemishLimit and not GrainBesideKnot)] };
        var verdict = PieceJudge.GiveVerdict(Flitch, Photos((Surface.Face1, Knot(3, 200))).Joined(), book);
        Assert.Equal((Hold, "not-covered"), (verdict.Outcome, verdict.Reasons[0].LimitId));
    }
}
