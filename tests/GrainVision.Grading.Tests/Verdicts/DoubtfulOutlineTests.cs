using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Questions;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Tests.Pieces;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Verdicts;

/// <summary>An outline that is not shown to be the wood's edge: the issue's own rule that a question names what settles it; no outside source.</summary>
public class DoubtfulOutlineTests
{
    private static readonly CannotSay Doubt = new(CannotSayTopic.Outline, "the piece's edge could not be made sure of along side 3-4 of the outline", "Retake.");

    [Fact]
    public void Photo_Holds_AndSaysItOnce()
    {
        var verdict = (Samples.End() with { CannotSay = [Doubt] }).Judged();
        Assert.Equal(Hold, verdict.Outcome);
        Assert.Single(verdict.Reasons, r => r.LimitId == "outline");
        Assert.DoesNotContain(verdict.Reasons, r => r.LimitId == "cannot-say");
    }

    [Theory]
    [InlineData(null, true)]
    [InlineData(HandAnswer.Met, false)]
    [InlineData(HandAnswer.Broken, true)] // found wrong it is no reject of the wood, and goes on holding
    public void Piece_OneQuestionOfAllPictures_AMetLookSettlesIt(HandAnswer? answer, bool holds)
    {
        RuleBookSet.Embedded.TryGet("spar", out var book);
        List<PlacedMeasurement> photos = [Doubtful(Surface.Face1), Doubtful(Surface.Face3)];
        HandFinding[] hands = answer is { } a ? [new HandFinding { Limit = "outline", Answer = a, Instrument = "eye", By = "a person" }] : [];
        var assessment = PieceAssessment.From(PieceSamples.Flitch, photos, hands);
        var reasons = assessment.GiveVerdict(book!).Reasons.Where(r => r.LimitId == "outline").ToList();
        var question = QuestionFinder.Find(assessment, [book!]).Where(q => q.Code == QuestionCode.Outline).ToList();
        Assert.Equal(holds ? 2 : 0, reasons.Count);
        Assert.All(reasons, r => Assert.Equal(Hold, r.Outcome));
        Assert.Equal(holds ? 1 : 0, question.Count);
        if (holds)
            Assert.Equal(["outline"], question[0].Answer!.Limits);
    }

    private static PlacedMeasurement Doubtful(Surface surface)
    {
        var face = PieceSamples.Face(surface, name: surface.ToString());
        return face with { Measurement = face.Measurement with { CannotSay = [.. face.Measurement.CannotSay, Doubt] } };
    }
}
