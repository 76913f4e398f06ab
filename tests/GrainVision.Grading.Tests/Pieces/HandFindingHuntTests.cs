using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Tests.Verdicts;
using static GrainVision.Grading.Tests.Pieces.PieceSamples;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Pieces;

/// <summary>
/// Wrong accepts by hand: whatever else is entered, a bad reading, a bad answer and what the photos reject never become an accept. Limits: moisture 8 to
/// 12 % (ANC-19 2.412), specific gravity 0.36 (ANC-19 Table 2-13), slope 1:15 (AC 43.13-1B Table 1-1), rings 6 (ANC-19 2.413), checks never (AC 43.13-1B).
/// </summary>
public class HandFindingHuntTests
{
    private static readonly HandFinding By = new() { Instrument = "test", By = "A" };

    private static readonly IReadOnlyList<HandFinding> Bad =
    [
        Quantity("moisture", 13.5, "%", 0.5) with { Method = MoistureMethod.OvenDry },
        Quantity("moisture", 14, "%", 1) with { Method = MoistureMethod.Meter, SpeciesCorrection = 1 },
        Quantity("specificGravity", 0.33, "1", 0.01),
        Quantity("combinedSlope", 11, "oneIn", 1),
        Quantity("worstWindow", 10, "oneIn", 1) with { Surface = Surface.Face4 },
        Quantity("worstInch", 4, "rings/in", 0.3) with { Surface = Surface.EndB },
        By with { Limit = "compression-and-decay", Answer = HandAnswer.Broken },
        By with { Limit = "spiral-grain", Answer = HandAnswer.Broken },
        By with { Measurement = "m2", Blemish = 1, Is = "check" },
        By with { Measurement = "m2", Blemish = 1, Is = "loose-knot" },
        By with { Species = "white-ash" },
    ];

    public static TheoryData<int> BadOnes => [.. Enumerable.Range(0, Bad.Count)];

    [Theory]
    [MemberData(nameof(BadOnes))]
    public void Piece_OtherwiseGood_IsNotAcceptedWithABadFinding(int bad)
    {
        var photos = Named(Photos((Surface.Face1, Knot(4, 700, probability: 0.6))));
        HandFinding[] good = [By with { Measurement = "m2", Blemish = 1, Is = HandFinding.NoBlemish }];
        Assert.Equal(Accept, PieceAssessment.From(Flitch, photos, good).GiveVerdict(Samples.Spar).Outcome);
        Assert.NotEqual(Accept, PieceAssessment.From(Flitch, photos, [.. good, Bad[bad]]).GiveVerdict(Samples.Spar).Outcome);
    }

    [Fact]
    public void Piece_RandomFindings_NeverAcceptedByThemAgainstPhotosOrABadFinding()
    {
        var random = new Random(61);
        var (rejected, bad, accepted) = (0, 0, 0);
        for (var i = 0; i < 1_500; i++)
        {
            var photos = Named(Spoil(random));
            List<HandFinding> hands = [.. Enumerable.Range(0, random.Next(1, 10)).Select(_ => Good(random))];
            var isBad = random.Next(3) == 0;
            if (isBad)
                hands.Add(Bad[random.Next(Bad.Count)]);
            Assert.All(hands, h => Assert.Null(h.Problem()));
            foreach (var book in new[] { "spar", "cap-strip" })
            {
                var byPhoto = PieceAssessment.From(Flitch, photos, []).GiveVerdict(Samples.Book(book)).Outcome;
                var byHand = PieceAssessment.From(Flitch, photos, hands).GiveVerdict(Samples.Book(book));
                if (byPhoto == Reject)
                    Assert.Equal(Reject, byHand.Outcome);
                if (isBad)
                    Assert.True(byHand.Outcome != Accept, $"{i} {book}: {hands[^1]}");
                (rejected, bad, accepted) = (rejected + (byPhoto == Reject ? 1 : 0), bad + (isBad ? 1 : 0), accepted + (byHand.Outcome == Accept && byPhoto == Hold ? 1 : 0));
            }
        }

        // The hunt must meet all three, or it proves nothing.
        Assert.True(rejected > 300 && bad > 300 && accepted > 30, $"{rejected} rejected, {bad} bad, {accepted} accepted");
    }

    private static IReadOnlyList<PlacedMeasurement> Spoil(Random random)
    {
        var photos = Photos((Surface.Face1, Knot(4, 700, probability: 0.6 + (0.4 * random.NextDouble()))));
        return random.Next(6) switch
        {
            0 => photos.With(End(Surface.EndA, Samples.About(3 + (5 * random.NextDouble()), 0.5))),
            1 => photos.With(Face(Surface.Face2, slope: Samples.About(0.1 * random.NextDouble(), 0.02))),
            2 => photos.With(Face(Surface.Face3, blemishes: Knot(10 * random.NextDouble(), 900, probability: random.NextDouble(), kind: BlemishKind.Check))),
            3 => photos.With(Face(Surface.Face4, 0, 700)),
            4 => photos.With(End(Surface.EndB, angle: Samples.Angle(30 + (30 * random.NextDouble()), 4))),
            _ => photos,
        };
    }

    /// <summary>What speaks for the piece. No mark of face 1 is called none after it was called a check: the latest counts, as it should.</summary>
    private static HandFinding Good(Random random) => random.Next(7) switch
    {
        0 => Quantity("combinedSlope", 25, "oneIn", 2),
        1 => Quantity("worstInch", 9, "rings/in", 0.3) with { Surface = Surface.EndA },
        2 => By with { Measurement = "m2", Blemish = 1, Is = HandFinding.NoBlemish },
        3 => By with { Measurement = "m4", Blemish = 1, Is = HandFinding.NoBlemish },
        4 => By with { Limit = Samples.Spar.Limits[random.Next(Samples.Spar.Limits.Count)].Id, Answer = HandAnswer.Met },
        5 => By with { Limit = "all-faces", Answer = HandAnswer.Met },
        _ => Quantity("worstWindow", 30, "oneIn", 2) with { Surface = Surface.Face2 },
    };

    private static HandFinding Quantity(string quantity, double value, string unit, double half) => By with { Quantity = quantity, Value = value, Unit = unit, PlusMinus = half };

    private static IReadOnlyList<PlacedMeasurement> Named(IReadOnlyList<PlacedMeasurement> photos) =>
        [.. photos.OrderBy(p => p.Place.Surface).Select(p => p with { Measurement = p.Measurement with { Id = $"m{(int)p.Place.Surface}" } })];
}
