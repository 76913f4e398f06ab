using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Tests.Verdicts;
using static GrainVision.Grading.Tests.Pieces.PieceSamples;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Pieces;

/// <summary>A photo taken closer answers for a doubtful mark, or says why it does not. Checks are never allowed (AC 43.13-1B Table 1-1 notes).</summary>
public class CloseUpTests
{
    private static readonly HandFinding OfMark = new() { Measurement = "doubtful", Blemish = 1, CloseUp = "close", Instrument = "phone", By = "A" };

    private static Measurement Doubtful => Samples.Face(blemishes: Knot(4, 700, half: 0.5, probability: 0.6)) with { Id = "doubtful" };

    [Fact]
    public void CloseUp_ThatShowsNothing_SettlesTheMark() => Assert.Equal((HandFinding.NoBlemish, Accept), Judged(Close()));

    [Fact]
    public void CloseUp_ThatShowsOneSureCheck_RejectsThePiece() =>
        Assert.Equal(("check", Reject), Judged(Close(Knot(2, 30, half: 0.1, kind: BlemishKind.Check))));

    [Fact]
    public void CloseUp_ThatShowsASureKnot_IsJudgedByItsSize()
    {
        Assert.Equal(("knot", Accept), Judged(Close(Knot(4, 30, half: 0.1))));
        Assert.Equal(("knot", Reject), Judged(Close(Knot(14, 30, half: 0.1)))); // over 3/8 in
    }

    [Fact]
    public void CloseUp_ThatAnswersNothing_SaysWhy()
    {
        Assert.NotNull(Problem(Close(Knot(4, 30, probability: 0.9))));
        Assert.NotNull(Problem(Close(Knot(4, 30), Knot(3, 50))));
        Assert.NotNull(Problem(Close() with { Scale = new ScaleFinding(ScaleKind.Card, Measured.Exact(5)) })); // too coarse for fine cracks
        Assert.NotNull(Problem(Close() with { Scale = new ScaleFinding(ScaleKind.Card, Measured.Exact(9)) })); // no finer than the first
        Assert.NotNull(Problem(Close() with { Photo = Doubtful.Photo }));
        Assert.NotNull(Problem(Close() with { CannotSay = [new CannotSay(CannotSayTopic.Blemishes, "blur", "Look.")] }));
        Assert.NotNull(Problem(null));
        Assert.NotNull(CloseUps.Problem(OfMark with { Blemish = 2 }, Doubtful, Close(), out _));
        Assert.NotNull(CloseUps.Problem(OfMark with { Is = "none" }, Doubtful, Close(), out _));
    }

    private static Measurement Close(params IReadOnlyList<BlemishFinding> blemishes) => Samples.Face(blemishes: blemishes) with
    {
        Id = "close", Photo = new PhotoFinding(new string('c', 64), 2000, 1600), Scale = new ScaleFinding(ScaleKind.Card, Measured.Exact(20)),
    };

    private static string? Problem(Measurement? closeUp) => CloseUps.Problem(OfMark, Doubtful, closeUp, out _);

    private static (string? Is, VerdictOutcome Outcome) Judged(Measurement closeUp)
    {
        Assert.Null(CloseUps.Problem(OfMark, Doubtful, closeUp, out var answered));
        Assert.Null(answered.Problem());
        var photos = Photos((Surface.Face1, Knot(4, 700, half: 0.5, probability: 0.6)));
        photos = [.. photos.Select(p => p.Place.Surface == Surface.Face1 ? p with { Measurement = p.Measurement with { Id = "doubtful" } } : p)];
        Assert.Equal(Hold, PieceAssessment.From(Flitch, photos, []).GiveVerdict(Samples.Spar).Outcome);
        return (answered.Is, PieceAssessment.From(Flitch, photos, [answered]).GiveVerdict(Samples.Spar).Outcome);
    }
}
