using System.Text.Json;
using System.Text.Json.Nodes;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Synthesis.Tests;

/// <summary>The demo delivery as a folder, drawn coarse: names, truth, and a check that can fail.</summary>
public sealed class DemoDeliveryTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("demo-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public void Write_Folder_EveryPhotoSortsToWhereTheTruthSays()
    {
        var count = DemoDelivery.Write(_folder, 1);
        var photos = Directory.GetFiles(Path.Combine(_folder, "photos")).Select(f => Path.GetFileName(f)!).ToList();
        Assert.Equal(count, photos.Count);
        Assert.InRange(count, 60, 100);
        var truth = JsonSerializer.Deserialize<DemoTruth>(File.ReadAllText(Path.Combine(_folder, "truth.json")), ContractJson.Options)!;
        var entered = JsonNode.Parse(File.ReadAllText(Path.Combine(_folder, "delivery.json")))!.AsObject();
        Assert.Equal(12, entered["pieces"].Deserialize<List<GrainVision.Grading.Pieces.Piece>>(ContractJson.Options)!.Count);
        Assert.Equal(12, truth.Pieces.Count);
        // Every photo is known to the inspector by its bytes, and what the truth breaks is no accept.
        var known = JsonSerializer.Deserialize<Dictionary<int, KnownPiece>>(File.ReadAllText(Path.Combine(_folder, "known.json")), ContractJson.Options)!;
        Assert.Equal(truth.Surfaces.Count, known.Values.SelectMany(k => k.Photos).Select(p => p.Sha256).Distinct().Count());
        foreach (var piece in truth.Pieces.Where(p => p.BreaksALimit))
            Assert.NotEmpty(known[piece.Piece].BrokenLimits);
        foreach (var surface in truth.Surfaces)
        {
            Assert.Contains(surface.File, photos);
            if (!surface.File.StartsWith("DSC_", StringComparison.Ordinal))
                Assert.Equal((surface.Piece, surface.Surface), PhotoName.Read(surface.File) is { } p ? (p.PieceNumber, p.Surface) : default);
        }

        // Every kind of piece is there.
        foreach (var expected in Enum.GetValues<DemoExpectation>())
            Assert.InRange(truth.Pieces.Count(p => p.Expected == expected), 2, 8);
        Assert.Equal(truth.Pieces.Count, Check(truth, _ => VerdictOutcome.Reject).Count(w => w.StartsWith("Wrong reject", StringComparison.Ordinal)) + truth.Pieces.Count(p => p.Expected != DemoExpectation.NotReject));
        Assert.Equal(truth.Pieces.Count(p => p.BreaksALimit), Check(truth, _ => VerdictOutcome.Accept).Count(w => w.StartsWith("WRONG ACCEPT", StringComparison.Ordinal)));
        Assert.Empty(Check(truth, _ => VerdictOutcome.Hold));
        Assert.Empty(Check(truth, p => p.Expected switch { DemoExpectation.NotAccept => VerdictOutcome.Reject, DemoExpectation.NotReject => VerdictOutcome.Accept, _ => VerdictOutcome.Hold }));
    }

    /// <summary>What the check says of a report with these verdicts.</summary>
    private static IReadOnlyList<string> Check(DemoTruth truth, Func<PieceTruth, VerdictOutcome> verdictOf)
    {
        var pieces = truth.Pieces.Select(t => new PieceReport(
            new GrainVision.Grading.Pieces.Piece { Number = t.Piece, NominalQuarters = 8, WidthIn = 4, LengthFt = 8 }, 5, null,
            new PieceFindings { Photos = [], NotShown = [] },
            [new Verdict("spar", 1, "spar", verdictOf(t), "this piece", [], [], [])], [])).ToList();
        TallyCell Cell(VerdictOutcome o) => new(pieces.Count(p => p.Verdicts[0].Outcome == o), 0);
        return truth.Check(new DeliveryReport
        {
            Delivery = new Delivery { Supplier = "Invented Fjord Mill", OrderNumber = "1" },
            MadeUtc = default,
            Pieces = pieces,
            Tally = [new UseTally("spar", "spar", Cell(VerdictOutcome.Accept), Cell(VerdictOutcome.Hold), Cell(VerdictOutcome.Reject))],
            ArrivedBoardFeet = 1,
            Unsorted = [new PhotoLeftOver("0", "DSC_0999.jpg", "", "")],
            IsComplete = true,
            Cautions = [],
        });
    }
}
