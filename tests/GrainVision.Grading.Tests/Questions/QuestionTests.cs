using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Questions;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Tests.Pieces;
using GrainVision.Grading.Tests.Verdicts;
using static GrainVision.Grading.Tests.Pieces.PieceSamples;

namespace GrainVision.Grading.Tests.Questions;

/// <summary>What is asked, how often and in which order; and that good answers to all that is asked bring an accept.</summary>
public class QuestionTests
{
    private static readonly IReadOnlyList<RuleBook> Uses = [Samples.Spar, Samples.Book("cap-strip")];

    private static Piece Unread => Flitch with { MoisturePercent = null, WeightLb = null };

    [Fact]
    public void Piece_ThatIsAccepted_IsAskedNothing() => Assert.Empty(Asked(Flitch, Photos()));

    [Fact]
    public void Piece_ThatIsRejected_IsAskedNothing() =>
        Assert.Empty(QuestionFinder.Find(PieceAssessment.From(Unread, Photos().With(End(Surface.EndB, Samples.About(4, 0.2))), []), []));

    [Fact]
    public void Questions_ComeOnceInWalkingOrderAndSayWhichUsesTheySettle()
    {
        // A mark that two overlapping photos show, faces 2 and 4 read from streaks, no meter, no scales.
        var mark = Samples.Knot(5, 780, probability: 0.6);
        var photos = Named(Unconfirmed(Photos().Without(Surface.Face1)), Face(Surface.Face1, 0, 900, name: "a", blemishes: mark),
            Face(Surface.Face1, 600, LengthMm - 600, name: "b", blemishes: mark with { AlongMm = 180, Centre = new PointPx(1800, 750) }));
        var asked = Asked(Unread, photos);
        Assert.Equal([QuestionCode.Mark, QuestionCode.Moisture, QuestionCode.Weight, QuestionCode.Fibres], asked.Select(q => q.Code));
        Assert.Equal(2, asked[0].Photos.Count);
        Assert.Equal((Surface.Face1, 780, HandKind.Mark), (asked[0].Surface!.Value, Math.Round(asked[0].StationMm!.Value), asked[0].Answer!.Kind));
        Assert.All(asked, q => Assert.Equal(["spar", "cap-strip"], q.Uses));
        Assert.All(asked, q => Assert.Empty(q.Settles));

        var hands = new List<HandFinding>();
        foreach (var question in asked)
        {
            Assert.Contains(Asked(Unread, photos, hands), q => q.Id == question.Id);
            if (question == asked[^1])
                Assert.Equal(["spar", "cap-strip"], Asked(Unread, photos, hands)[0].Settles);
            hands.AddRange(GoodAnswers(question));
            Assert.DoesNotContain(Asked(Unread, photos, hands), q => q.Id == question.Id);
        }

        Assert.All(Uses, u => Assert.Equal(VerdictOutcome.Accept, PieceAssessment.From(Unread, photos, hands).GiveVerdict(u).Outcome));
    }

    [Fact] // issue 14.4: a question is asked once, on the way round the piece
    public void MarksInDoubtOnOneFace_AreOneQuestion_OnEachFaceItsOwn()
    {
        var photos = Named(Photos((Surface.Face1, Samples.Knot(5, 780, probability: 0.6)), (Surface.Face1, Samples.Knot(4, 1500, probability: 0.4)), (Surface.Face3, Samples.Knot(4, 300, probability: 0.4))));
        var asked = Asked(Unread, photos).Where(q => q.Code == QuestionCode.Mark).ToList();
        Assert.Equal(["mark-face-1", "mark-face-3"], asked.Select(q => q.Id));
        Assert.Equal([2, 1], asked.Select(q => q.Answer!.Marks.Count));
        Assert.Equal((null, null, 300), (asked[0].Answer!.Mark, asked[0].StationMm, Math.Round(asked[1].StationMm!.Value)));
        Assert.Contains("mark 1, 780 mm from end A; mark 2, 1500 mm", asked[0].Text, StringComparison.Ordinal);
        Assert.Equal("mark-face-3", Assert.Single(Asked(Unread, photos, [.. GoodAnswers(asked[0])]), q => q.Code == QuestionCode.Mark).Id);
    }

    [Fact]
    public void UseThatIsRejected_IsNotAskedAbout()
    {
        // A knot on a narrow face rejects the spar (AC 43.13-1B) and not the cap strip, whose ends show the face flat-sawn (ANC-19 2.426).
        var photos = Photos((Surface.Face2, Knot(3, 700, width: NarrowMm)));
        var assessment = PieceAssessment.From(Unread, photos, []);
        Assert.Equal(VerdictOutcome.Reject, assessment.GiveVerdict(Samples.Spar).Outcome);
        Assert.All(Asked(Unread, photos), q => Assert.Equal(["cap-strip"], q.Uses));
    }

    [Fact]
    public void SpeciesWithoutAPublishedLimit_IsAskedForApprovedDataAlone() // white ash: AC 43.13-1B Table 1-1 does not list it
    {
        var asked = Asked(Unread with { Species = "white-ash" }, Unconfirmed(Photos()));
        Assert.NotEmpty(asked);
        Assert.All(asked, q => Assert.Equal((QuestionCode.ApprovedData, null), (q.Code, q.Answer)));
    }

    [Fact]
    public void SpeciesNotStated_IsAskedAndAnswered()
    {
        IReadOnlyList<PlacedMeasurement> photos = [.. Photos().Select(p => p with { Measurement = p.Measurement with { Species = null } })];
        var piece = Flitch with { Species = null };
        var species = Assert.Single(Asked(piece, photos), q => q.Code == QuestionCode.Species);
        Assert.Equal(WalkStep.Desk, species.Step);
        HandFinding answer = new() { Species = "sitka-spruce", Instrument = "papers", By = "A" };
        Assert.DoesNotContain(Asked(piece, photos, [answer]), q => q.Code == QuestionCode.Species);
    }

    [Fact]
    public void FacesNotShown_AreOneQuestionWithItsStretches()
    {
        var photos = Photos().Without(Surface.Face3, Surface.Face4).With(Face(Surface.Face2, 0, 700));
        var look = Assert.Single(Asked(Flitch, photos), q => q.Code == QuestionCode.LookOver);
        Assert.Contains("face 2 675 to 1524 mm; face 3; face 4", look.Text, StringComparison.Ordinal); // 700 mm less the 25 of its station
        Assert.InRange(Asked(Flitch, photos).Count, 1, 2); // and the slope of what was not shown
    }

    [Fact]
    public void EndNotShown_IsOneQuestionThatRingsAndAngleByHandAnswer()
    {
        var photos = Photos().Without(Surface.EndB);
        var asked = Assert.Single(Asked(Flitch, photos), q => q.Code == QuestionCode.ShowEnd);
        Assert.Equal(Surface.EndB, asked.Surface);
        // A look alone is no count.
        Assert.Contains(Asked(Flitch, photos, [Look("all-faces"), Look("boxed-pith")]), q => q.Code == QuestionCode.ShowEnd);
        Assert.DoesNotContain(Asked(Flitch, photos, [.. GoodAnswers(asked)]), q => q.Code == QuestionCode.ShowEnd);
    }

    /// <summary>Random spoiled pieces: what holds is asked about, within ten questions, and good answers to all of it bring an accept.</summary>
    [Fact]
    public void Hold_OfAnyKind_IsSettledByGoodAnswersToWhatIsAsked()
    {
        var random = new Random(14);
        var held = 0;
        for (var i = 0; i < 400; i++)
        {
            var (piece, photos) = Spoiled(random);
            var open = Uses.Where(u => PieceAssessment.From(piece, photos, []).GiveVerdict(u).Outcome == VerdictOutcome.Hold).ToList();
            if (open.Count == 0)
                continue;
            held++;
            var hands = new List<HandFinding>();
            for (var round = 0; round < 4 && Asked(piece, photos, hands, open) is { Count: > 0 } asked; round++)
            {
                Assert.InRange(asked.Count, 1, 10);
                Assert.Equal(asked.Count, asked.Select(q => q.Id).Distinct().Count());
                Assert.Equal(asked.OrderBy(q => q.Step), asked);
                hands.AddRange(asked.SelectMany(GoodAnswers));
            }

            Assert.All(open, u =>
            {
                var verdict = PieceAssessment.From(piece, photos, hands).GiveVerdict(u);
                Assert.True(verdict.Outcome == VerdictOutcome.Accept, $"{i}: {verdict.Reasons[0].Text}");
            });
        }

        Assert.True(held > 150, $"{held} held");
    }

    private static (Piece Piece, IReadOnlyList<PlacedMeasurement> Photos) Spoiled(Random random)
    {
        var photos = Photos();
        if (random.Next(3) == 0)
            photos = photos.With(End(Surface.EndB, Samples.About(6.2, 0.4)));
        if (random.Next(3) == 0)
            photos = photos.With(End(Surface.EndA, angle: Samples.Angle(50, 8, 46, 55)));
        if (random.Next(2) == 0)
            photos = photos.With(Face(Surface.Face3, blemishes: Knot(3 + (4 * random.NextDouble()), LengthMm * random.NextDouble(), probability: 0.5, kind: random.Next(2) == 0 ? BlemishKind.Knot : BlemishKind.Check)));
        if (random.Next(3) == 0)
            photos = photos.With(Face(Surface.Face2, 0, 900));
        if (random.Next(3) == 0)
            photos = photos.With(Face(Surface.Face4, slope: Samples.About(0.05, 0.02)));
        if (random.Next(4) == 0)
            photos = photos.Without(random.Next(2) == 0 ? Surface.EndB : Surface.Face3);
        if (random.Next(2) == 0)
            photos = Unconfirmed(photos);
        return (random.Next(2) == 0 ? Unread : Flitch, Named(photos));
    }

    private static IEnumerable<HandFinding> GoodAnswers(Question question)
    {
        var answer = question.Answer!;
        var basis = new HandFinding { Instrument = "test", By = "A" };
        if (answer.Kind == HandKind.Mark)
            return answer.Marks.Select(m => basis with { Measurement = m.Measurement, Blemish = m.Blemish, Is = HandFinding.NoBlemish });
        return answer.Limits.Select(l => basis with { Limit = l, Answer = HandAnswer.Met }).Concat(answer.Quantities.Select(q => Reading(q, answer)));
    }

    private static HandFinding Reading(string quantity, QuestionAnswer answer)
    {
        var (value, unit, half) = quantity switch
        {
            HandQuantities.Moisture => (10.0, "%", 0.5),
            HandQuantities.Weight => (10.54, "lb", 0.1),
            HandQuantities.CombinedSlope => (25, "oneIn", 2),
            "width" => (WideMm, "mm", 0.5),
            "thickness" => (NarrowMm, "mm", 0.2),
            "length" => (LengthMm, "mm", 3),
            "worstInch" => (9, "rings/in", 0.3),
            "perInch" => (10, "rings/in", 0.3),
            _ => (70, "deg", 1),
        };
        var finding = new HandFinding
        {
            Quantity = quantity, Value = value, Unit = unit, PlusMinus = half, Surface = answer.Surface, Method = quantity == HandQuantities.Moisture ? MoistureMethod.OvenDry : null,
            Instrument = "test", By = "A",
        };
        Assert.Null(finding.Problem());
        return finding;
    }

    private static HandFinding Look(string limit) => new() { Limit = limit, Answer = HandAnswer.Met, Instrument = "eye", By = "A" };

    private static IReadOnlyList<Question> Asked(Piece piece, IReadOnlyList<PlacedMeasurement> photos, IReadOnlyList<HandFinding>? hands = null, IReadOnlyList<RuleBook>? uses = null)
    {
        var assessment = PieceAssessment.From(piece, photos, hands ?? []);
        return QuestionFinder.Find(assessment, [.. (uses ?? Uses).Where(u => assessment.GiveVerdict(u).Outcome == VerdictOutcome.Hold)]);
    }

    /// <summary>Faces 2 and 4 as read from streaks that nobody has confirmed.</summary>
    private static IReadOnlyList<PlacedMeasurement> Unconfirmed(IReadOnlyList<PlacedMeasurement> photos) => [.. photos.Select(p => p.Place.Surface is Surface.Face2 or Surface.Face4
        ? p with { Measurement = p.Measurement with { Grain = p.Measurement.Grain! with { ByHand = false } } } : p)];

    /// <summary>With ids, which findings name.</summary>
    private static IReadOnlyList<PlacedMeasurement> Named(IReadOnlyList<PlacedMeasurement> photos, params PlacedMeasurement[] more) =>
        [.. photos.Concat(more).Select((p, i) => p with { Measurement = p.Measurement with { Id = $"m{i}" } })];
}
