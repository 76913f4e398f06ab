using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Questions;

namespace GrainVision.Synthesis.Tests;

/// <summary>
/// The inspector against the truth it was given: answers are rounded as the tools are (common practice, no source), and none of them comes from what was measured.
/// </summary>
public class TruthfulInspectorTests
{
    private static readonly BoardSpec Spec = new("sitka-spruce", 69.85, 25.4, 304.8, 11, 80, 0.02, 0.01);

    private static readonly BoardCare Care = new(Difficulty.Easy, ScaleProp.Card, Harmless: false) { FacePxPerMm = 1 };

    [Fact]
    public void Moisture_ByMeterThenByOven_ThenNoMore()
    {
        var inspector = new TruthfulInspector(Known([]));
        var meter = Assert.Single(inspector.Answer(Ask(QuestionCode.Moisture, HandKind.Moisture), []));
        Assert.Equal((11.5, MoistureMethod.Meter), (meter.Value!.Value, meter.Method!.Value)); // 11.37 % on a dial of half per cents
        var oven = Assert.Single(inspector.Answer(Ask(QuestionCode.Moisture, HandKind.Moisture), []));
        Assert.Equal((11.4, MoistureMethod.OvenDry), (oven.Value!.Value, oven.Method!.Value));
        Assert.Empty(inspector.Answer(Ask(QuestionCode.Moisture, HandKind.Moisture), []));
    }

    [Fact]
    public void Slope_IsTheTruthsOwnWithinTheScribe()
    {
        var known = Known([]);
        var slope = Assert.Single(new TruthfulInspector(known).Answer(Ask(QuestionCode.Slope, HandKind.Slope), []));
        Assert.InRange(slope.Value!.Value, known.TrueSlope - slope.PlusMinus!.Value, known.TrueSlope + slope.PlusMinus.Value);
        Assert.InRange(known.TrueSlope, 0.02, 0.04); // 0.02 and 0.01 combined, and the log's own
        Assert.Null(slope.Problem());
    }

    [Fact]
    public void Mark_WhereTheTruthHasOne_IsNamedAndSized_ElsewhereItIsNone()
    {
        var photo = Photo(Surface.Face1, [BlemishKind.LooseKnot]);
        var knot = Assert.Single(photo.Truth.Blemishes);
        var picture = new PictureInHand(Measured([knot.Centre, photo.Truth.Outline[knot.Centre.X > photo.Truth.Photo.Width / 2.0 ? 0 : 1]]), photo);
        var inspector = new TruthfulInspector(Known([photo]));
        var there = Assert.Single(inspector.Answer(AskMark(1), [picture]));
        Assert.Equal("loose-knot", there.Is);
        Assert.InRange(there.Size!.DiameterMm, knot.DiameterMm - 0.5, knot.DiameterMm + 0.5);
        Assert.Null(there.Problem());
        Assert.Equal(HandFinding.NoBlemish, Assert.Single(inspector.Answer(AskMark(2), [picture])).Is);
    }

    [Theory]
    [InlineData("never-allowed", HandAnswer.Broken)]
    [InlineData("loose-knot", HandAnswer.Met)]
    [InlineData("all-faces", HandAnswer.Broken)]
    public void Look_TellsWhatIsBroken(string limit, HandAnswer expected)
    {
        var question = Ask(QuestionCode.LookOver, HandKind.Look) with { Answer = new QuestionAnswer(HandKind.Look) { Limits = [limit] } };
        Assert.Equal(expected, Assert.Single(new TruthfulInspector(Known([]) with { BrokenLimits = ["never-allowed"] }).Answer(question, [])).Answer);
    }

    [Fact]
    public void ApprovedData_IsNotTheInspectorsToSay() =>
        Assert.Empty(new TruthfulInspector(Known([])).Answer(Ask(QuestionCode.ApprovedData, HandKind.Look), []));

    private static Question Ask(QuestionCode code, HandKind kind) => new(code.ToString(), code, WalkStep.Meter, "", new QuestionAnswer(kind), ["spar"], []);

    private static Question AskMark(int number) => Ask(QuestionCode.Mark, HandKind.Mark) with
    {
        Id = $"mark-m-{number}", Answer = new QuestionAnswer(HandKind.Mark) { Mark = new MarkName("m", number), Marks = [new MarkName("m", number)] },
    };

    private static KnownPhoto Photo(Surface surface, IReadOnlyList<BlemishKind> blemishes)
    {
        var photographer = new BoardPhotographer(Spec, 5, new Dictionary<Surface, IReadOnlyList<BlemishKind>> { [surface] = blemishes });
        return new KnownPhoto("p", surface, GroundTruth.Tell(photographer.Scene(photographer.Shots().First(s => s.Surface == surface), Care, 0, out _)));
    }

    private static KnownPiece Known(IReadOnlyList<KnownPhoto> photos) => new(
        "sitka-spruce", 11.37, 0.4, 1.2, Spec.WideMm, Spec.ThickMm, Spec.LengthMm, [], photos.Count > 0 ? photos : [Photo(Surface.Face1, []), Photo(Surface.Face2, [])]);

    /// <summary>A measurement that shows marks at these places, and is of nothing else.</summary>
    private static Measurement Measured(IReadOnlyList<PointPx> marks) => new()
    {
        Id = "m",
        View = View.Face,
        Photo = new PhotoFinding("p", 1, 1),
        PipelineVersion = "",
        Scale = new ScaleFinding(ScaleKind.Pitch, Grading.Quantities.Measured.Exact(1)),
        Outline = [],
        Blemishes = [.. marks.Select(at => new BlemishFinding(BlemishKind.Check, 0.5, at, default, default, 1, 1, 1, [at]))],
    };
}
