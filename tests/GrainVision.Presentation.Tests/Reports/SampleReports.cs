using GrainVision.Grading.ByHand;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Lumber;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Questions;

namespace GrainVision.Presentation.Tests.Reports;

/// <summary>A delivery made by hand. The mill "Invented Fjord Mill" exists nowhere.</summary>
internal static class SampleReports
{
    private static readonly string[] Uses = ["solid or laminated spar", "cap strip"];
    private static readonly string[] Books = ["spar", "cap-strip"];

    public static DeliveryReport Make(int pieces, int photosPerPiece = 6, string supplier = "Invented Fjord Mill", bool complete = true)
    {
        var reports = Enumerable.Range(1, pieces).Select(n => PieceReport(n, photosPerPiece)).ToList();
        return new DeliveryReport
        {
            Delivery = new Delivery
            {
                Supplier = supplier,
                OrderNumber = "IFM-2041",
                Species = "sitka-spruce",
                StatedMoisturePercent = 12,
                RuleBooks = Books,
                OrderedBoardFeet = pieces * 18,
            },
            MadeUtc = new DateTimeOffset(2026, 11, 25, 9, 30, 0, TimeSpan.Zero),
            Pieces = reports,
            Tally = [.. Books.Select((b, i) => new UseTally(b, Uses[i], Cell(reports, i, VerdictOutcome.Accept), Cell(reports, i, VerdictOutcome.Hold), Cell(reports, i, VerdictOutcome.Reject)))],
            Walk = [new WalkLine("compression-and-decay", WalkStep.FacesWithLight, "Look along the fibres with a low lamp for compression failures (ANC-19 2.305).", Books)],
            ArrivedBoardFeet = reports.Sum(r => r.BoardFeet),
            CutPlan = new CutPlan(
                [new(1, "front spar plank", 200, 3100, 1), new(1, "rib cap", 3110, 4310, 6), new(3, "rib cap", 100, 1300, 8), new(3, "rib cap", 1310, 2510, 8)],
                new Dictionary<string, int> { ["rear spar plank"] = 1 }, 0.31, false),
            Unsorted = [new PhotoLeftOver(new string('e', 64), "IMG_0412.jpg", "No piece card shows and the name says nothing.", "Assign it to its piece and surface by hand.")],
            SetAside = [new PhotoLeftOver(new string('f', 64), "torn.jpg", "The file ends early.", "Copy it from the camera again.")],
            IsComplete = complete,
            Cautions =
            [
                "This report supports a qualified person and replaces none. It is no airworthiness approval; the approved data and the licensed inspector decide.",
                "No photo shows compression failures, compression wood, decay, spiral grain hidden in a flat-grain face, or the inside of a piece.",
            ],
        };
    }

    private static TallyCell Cell(List<PieceReport> reports, int use, VerdictOutcome outcome)
    {
        var these = reports.Where(r => r.Standing[use].Outcome == outcome).ToList();
        return new TallyCell(these.Count, these.Sum(r => r.BoardFeet));
    }

    public static PieceReport PieceReport(int number, int photos)
    {
        var piece = new Piece { Number = number, NominalQuarters = 8, WidthIn = 6, LengthFt = number % 2 == 0 ? 14 : 18, SpeciesMark = "S", MoisturePercent = 11.5, WeightLb = number % 3 == 0 ? null : 31.5 };
        var outcome = (VerdictOutcome)(number % 3);
        var boardFeet = BoardFeet.Compute(piece.NominalQuarters / 4.0, piece.WidthIn, piece.LengthFt);
        var findings = new PieceFindings
        {
            Photos = [.. Enumerable.Range(0, photos).Select(i => Photo(number, i))],
            NotShown = number % 4 == 0 ? [Surface.Face4] : [],
            WorstInch = new Measured(9.4, 8.9, 9.9),
            RingAngleDegrees = new Measured(78, 75.5, 80.4),
            CombinedSlope = number % 3 == 2 ? new Measured(0.085, 0.079, 0.091) : new Measured(0.031, 0.024, 0.038),
            Blemishes =
            [
                new PieceBlemish(BlemishKind.Knot, 0.93, 3300, new Measured(7.1, 6.6, 7.6), new Measured(6.8, 6.3, 7.3), 9, 22, [Surface.Face1, Surface.Face3], ["a", "b"]),
                new PieceBlemish(BlemishKind.PitchPocket, 0.7, 800, new Measured(3, 2, 4), new Measured(2, 1, 3), 22, 31, [Surface.Face1], ["a"]),
            ],
            CannotSay = number % 2 == 0 ? [new CannotSay(CannotSayTopic.SpiralGrain, "The face is flat-grained.", "Draw ink along the fibres on face 1 and measure its slope.")] : [],
        };
        return new PieceReport(
            piece, boardFeet, number % 3 == 0 ? null : 0.412, findings,
            [Verdict(0, outcome), Verdict(1, number % 3 == 2 ? VerdictOutcome.Hold : outcome)],
            [new ClearLength("spar", 900, 3200, ["ink test"]), new ClearLength("cap-strip", 20, 760, []), new ClearLength("cap-strip", 860, 3260, []), new ClearLength("cap-strip", 3350, 4200, [])])
        {
            MoisturePercent = new Measured(11.5, 10.5, 12.5),
            WeightLb = number % 3 == 0 ? null : new Measured(31.5, 31.2, 31.8),
            Questions = number % 3 == 0 ? [] :
            [
                new Question("rings-end-b", QuestionCode.Rings, WalkStep.EndsWithLens, "End B: count the rings in the widest-ringed inch along a radius, 6 or more wanted.", new QuestionAnswer(HandKind.Rings), Books, []) { Surface = Surface.EndB, Surfaces = [Surface.EndB] },
                new Question("slope", QuestionCode.Slope, WalkStep.Scribe, "Find the true slope of grain where it looks steepest: scribe two adjacent faces and combine, or split a sliver, 1:15 or flatter wanted.", new QuestionAnswer(HandKind.Slope), ["cap-strip"], []),
            ],
            Decisions = number == 4 ? [new DecisionOnRecord("d4", "p4", "cap-strip", 1, VerdictOutcome.Accept, VerdictOutcome.Hold, DecidedBy.Person, "A. Example", new DateTimeOffset(2026, 11, 25, 9, 0, 0, TimeSpan.Zero), true, "Split a sliver: straight.", null)] : [],
        };
    }

    private static Verdict Verdict(int use, VerdictOutcome outcome)
    {
        var (slope, text, hand) = outcome switch
        {
            VerdictOutcome.Accept => (new Measured(0.031, 0.024, 0.038), "Slope of grain 1:32 (1:26 to 1:41) against 1:15: met.", null),
            VerdictOutcome.Hold => (new Measured(0.064, 0.053, 0.076), "Slope of grain 1:15 (1:13 to 1:18) against 1:15: open.", "Scribe the slope on faces 1 and 2 over 300 mm and combine them."),
            _ => (new Measured(0.085, 0.079, 0.091), "Slope of grain 1:11 (1:10 to 1:12) against 1:15: broken.", null),
        };
        List<Reason> reasons = [new("slope", outcome, text, "AC 43.13-1B 1-36", "combinedSlope", slope, 1 / 15.0, "tangent", HandCheck: hand) { Faces = [Surface.Face1, Surface.Face2] }];
        return new Verdict(Books[use], 1, Uses[use], outcome, "whole piece", reasons, ["Look along the fibres with a low lamp for compression failures (ANC-19 2.305)."], ["Not airworthiness."]);
    }

    private static PlacedMeasurement Photo(int piece, int index) => new(
        new PhotoPlace(piece, (Surface)(index % 6)) { StationMm = index > 5 ? 1200 : null },
        new Measurement
        {
            View = index % 6 < 2 ? View.End : View.Face,
            Photo = new PhotoFinding($"{piece:x4}{index:x4}".PadRight(64, '0'), 2000, 1500),
            PipelineVersion = "1.0.0",
            Scale = new ScaleFinding(ScaleKind.Card, new Measured(8, 7.9, 8.1)),
            Outline = [new(0, 0), new(1, 0), new(1, 1), new(0, 1)],
        });
}
