using Dapper;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Refusals;
using GrainVision.Records.HandFindings;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Opening;

namespace GrainVision.Records.Tests.HandFindings;

/// <summary>Hand findings stand in the log; the table by which they are found is held against it.</summary>
public sealed class FindingStoreTests : IDisposable
{
    private static readonly HandFinding Reading = new() { Quantity = "weight", Value = 10, Unit = "lb", Instrument = "hanging scale", By = "A. Example" };

    private readonly TemporaryRecords _records = new();

    public void Dispose() => _records.Dispose();

    [Fact]
    public void Finding_Corrected_NoLongerCountsAndStaysOnRecord()
    {
        var first = Add(Reading);
        var second = Add(Reading with { Value = 11, Corrects = first.Entry });
        var store = new FindingStore(_records.Database);
        Assert.Equal([second.Entry, null], store.OfPiece("p").Select(f => f.CorrectedBy));
        Assert.Equal(11, Assert.Single(FindingStore.InForce(store.OfPiece("p"))).Value);
        Assert.Equal((HandKind.Weight, "yard", TemporaryRecords.Noon), (first.Kind, first.Who, first.EnteredUtc));
        Assert.True(_records.Verify().IsWhole);
    }

    [Fact]
    public void Finding_OfAnotherPieceOrCorrectedTwice_IsRefusedAndNothingIsEntered()
    {
        var first = Add(Reading);
        Assert.Equal("finding-not-current", Refused("other", Reading with { Corrects = first.Entry }));
        Add(Reading with { Corrects = first.Entry });
        Assert.Equal("finding-not-current", Refused("p", Reading, Reading with { Corrects = first.Entry }));
        Assert.Equal(2, _records.Log().Head()!.Number);
    }

    [Theory]
    [InlineData("UPDATE findings SET piece = 'other' WHERE number = 1", LogProblemCode.SearchColumnChanged)]
    [InlineData("UPDATE findings SET kind = 'mark' WHERE number = 1", LogProblemCode.SearchColumnChanged)]
    [InlineData("UPDATE findings SET corrects = NULL WHERE number = 2", LogProblemCode.SearchColumnChanged)]
    [InlineData("DELETE FROM findings WHERE number = 2", LogProblemCode.SearchColumnChanged)]
    [InlineData("INSERT INTO findings VALUES (9, 'p', 'weight', NULL)", LogProblemCode.RecordNotInLog)]
    public void Table_ThatSaysOtherThanTheLog_IsFound(string tampering, LogProblemCode expected)
    {
        Add(Reading with { Value = 11, Corrects = Add(Reading).Entry });
        Assert.True(_records.Verify().IsWhole);
        _records.Tamper(tampering);
        Assert.Equal(expected, _records.Verify().Problem!.Code);
    }

    /// <summary>What was entered before the table was there is found by it too.</summary>
    [Theory]
    [InlineData("""{"quantity":"worstInch","value":7,"plusMinus":0.2,"unit":"rings/in","measurement":"m","instrument":"lens","by":"A"}""", "rings")]
    [InlineData("""{"measurement":"m","blemish":1,"is":"none","instrument":"lens","by":"A"}""", "mark")]
    [InlineData("""{"limit":"pith","answer":"met","instrument":"lens","by":"A"}""", "look")]
    public void Finding_FromBeforeTheTable_IsEnteredIntoIt(string body, string kind)
    {
        using (var writing = _records.Database.Write())
        {
            using var parsed = System.Text.Json.JsonDocument.Parse(body);
            LogWriter.Append(writing.Transaction, new LogEntryDraft
            {
                Kind = LogKind.HandMeasurement, Who = "yard", At = TemporaryRecords.Noon, Subjects = new EntrySubjects { Piece = "p" }, Body = parsed.RootElement,
            });
            writing.Commit();
        }

        _records.Tamper("DROP TABLE finding_keys; DROP TABLE findings; DELETE FROM schema_steps WHERE ScriptName = '008-findings';");
        var again = RecordsOpener.Open(_records.File);
        using var connection = again.Connect();
        Assert.Equal(kind, connection.ExecuteScalar<string>("SELECT kind FROM findings WHERE number = 1;"));
        Assert.Single(new FindingStore(again).OfPiece("p"));
    }

    private StoredFinding Add(HandFinding finding) => Assert.Single(Enter("p", finding).Found!);

    private string? Refused(string piece, params HandFinding[] findings) => Enter(piece, findings).Refusal?.Code;

    private Outcome<IReadOnlyList<StoredFinding>> Enter(string piece, params HandFinding[] findings) =>
        new FindingStore(_records.Database).Add(piece, findings, new Recording("yard", EntryVersions.None), TemporaryRecords.Noon, null);
}
