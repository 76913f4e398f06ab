using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Decisions;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Opening;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Tests.Decisions;

/// <summary>Every filter and every set of filters against a plain walk over the decisions; what is searched against what the log says.</summary>
public sealed class DecisionSearchTests : IDisposable
{
    private const int Count = 120;

    private static readonly string[] Species = ["sitka-spruce", "douglas-fir"];

    private static readonly string[] Uses = ["spar", "cap-strip", "shop-order"];

    private static readonly string[] Limits = ["rings-per-inch", "slope-of-grain", "knot"];

    private readonly TemporaryRecords _records = new();
    private readonly List<Decision> _all = [.. Enumerable.Range(0, Count).Select(Make)];

    public DecisionSearchTests()
    {
        using var writing = _records.Database.Write();
        foreach (var (decision, i) in _all.Select((d, i) => (d, i)))
            Assert.True(DecisionStore.Add(writing.Transaction, decision.Piece, [], new Recording("tests", EntryVersions.None), TemporaryRecords.Noon.AddMinutes(i), null, _ => decision).TryGet(out _, out _));
        writing.Commit();
    }

    public void Dispose() => _records.Dispose();

    public static TheoryData<int> SetsOfFilters => [.. Enumerable.Range(0, 128)];

    [Theory]
    [MemberData(nameof(SetsOfFilters))]
    public void Page_ByAnySetOfFilters_FindsWhatAPlainWalkFinds(int set)
    {
        var store = new DecisionStore(_records.Database);
        foreach (var like in new[] { _all[7], _all[40], _all[99] with { Person = "person 0", Verdict = VerdictOutcome.Hold } })
        {
            var filter = new DecisionFilter
            {
                Piece = On(0, like.Piece), Delivery = On(1, like.Delivery), Species = On(2, like.Species), Use = On(3, like.RuleBook),
                Verdict = On(4, DecisionWords(like.Verdict)), Person = On(5, like.Person), LimitId = On(6, like.Reasons[0].Reason.LimitId),
            };
            var expected = _all.Where(d => Holds(d, filter)).Select(d => d.Id).Reverse().ToList();
            Assert.Equal(expected, Ids(store.Page(filter, null, Count)));
            Assert.Equal(expected.Take(3), Ids(store.Page(filter, null, 3)));
            var from = filter with { From = TemporaryRecords.Noon.AddMinutes(30), To = TemporaryRecords.Noon.AddMinutes(90) };
            Assert.Equal(_all.Where((d, i) => i is >= 30 and < 90 && Holds(d, filter)).Select(d => d.Id).Reverse(), Ids(store.Page(from, null, Count)));
        }

        string? On(int bit, string? value) => (set >> bit & 1) == 1 ? value : null;
    }

    [Fact]
    public void Page_AfterPage_MeetsEveryDecisionOnce()
    {
        var store = new DecisionStore(_records.Database);
        var met = new List<string>();
        long? before = null;
        while (store.Page(new DecisionFilter { LimitId = "knot" }, before, 7) is { Count: > 0 } page)
        {
            met.AddRange(Ids(page));
            before = page[^1].Entry.Number;
        }

        Assert.Equal(_all.Where(d => d.Reasons[0].Reason.LimitId == "knot").Select(d => d.Id).Reverse(), met);
    }

    [Theory]
    [InlineData("UPDATE decisions SET verdict = 'accept' WHERE number = 3", 3, "'verdict'")]
    [InlineData("UPDATE decisions SET species = 'oak' WHERE number = 4", 4, "'species'")]
    [InlineData("UPDATE decisions SET delivery = NULL WHERE number = 5", 5, "'delivery'")]
    [InlineData("DELETE FROM decision_limits WHERE number = 6", 6, "no longer found by the rule")]
    [InlineData("UPDATE decision_limits SET verdict = 'accept' WHERE number = 9", 9, "no longer found by the rule")]
    [InlineData("INSERT INTO decision_limits SELECT 'edge-grain', number, person, species, rule_book, verdict FROM decision_limits WHERE number = 8", 120, "rules that they do not rest on")]
    public void SearchColumnsThatDifferFromTheLog_AreNamed(string sql, long number, string what)
    {
        Assert.True(_records.Verify().IsWhole, _records.Verify().Problem?.What);
        _records.Tamper(sql);
        var problem = _records.Verify().Problem!;
        Assert.Equal((number, LogProblemCode.SearchColumnChanged), (problem.Number, problem.Code));
        Assert.Contains(what, problem.What, StringComparison.Ordinal);
    }

    [Fact]
    public void RecordsOfTheThirdSchema_AreFoundByRuleAfterTheUpgrade()
    {
        // Back to the rows by rule as the third schema had them.
        _records.Tamper("""
            DROP INDEX decisions_by_use; DROP INDEX decisions_by_verdict; DROP INDEX decisions_by_person; DROP INDEX decisions_by_species;
            CREATE INDEX decisions_by_use ON decisions (rule_book, number);
            CREATE INDEX decisions_by_verdict ON decisions (verdict, number);
            CREATE INDEX decisions_by_person ON decisions (person, number);
            CREATE INDEX decisions_by_species ON decisions (species, number) WHERE species IS NOT NULL;
            CREATE TABLE older (limit_id TEXT NOT NULL, number INTEGER NOT NULL REFERENCES decisions (number), PRIMARY KEY (limit_id, number)) STRICT, WITHOUT ROWID;
            INSERT INTO older SELECT limit_id, number FROM decision_limits;
            DROP TABLE decision_limits;
            ALTER TABLE older RENAME TO decision_limits;
            ALTER TABLE delivery_photos DROP COLUMN cards_json;
            DROP INDEX delivery_photos_open;
            ALTER TABLE delivery_photos DROP COLUMN in_hand;
            ALTER TABLE delivery_photos DROP COLUMN needs_place;
            ALTER TABLE delivery_photos ADD COLUMN state TEXT NOT NULL DEFAULT 'received';
            ALTER TABLE delivery_photos ADD COLUMN tries INTEGER NOT NULL DEFAULT 0;
            CREATE INDEX delivery_photos_by_state ON delivery_photos (delivery_id, state);
            DROP TABLE finding_keys;
            DROP TABLE findings;
            DROP TABLE schema_steps;
            PRAGMA user_version=3;
            """);
        SqliteConnection.ClearAllPools();
        var upgraded = RecordsOpener.Open(_records.File);
        Assert.True(_records.Verify().IsWhole, _records.Verify().Problem?.What);
        Assert.Equal(_all.Where(d => d.Reasons[0].Reason.LimitId == "knot").Select(d => d.Id).Reverse(), Ids(new DecisionStore(upgraded).Page(new DecisionFilter { LimitId = "knot" }, null, Count)));
    }

    private static bool Holds(Decision d, DecisionFilter f) =>
        (f.Piece is null || f.Piece == d.Piece) && (f.Delivery is null || f.Delivery == d.Delivery) && (f.Species is null || f.Species == d.Species)
        && (f.Use is null || f.Use == d.RuleBook) && (f.Verdict is null || f.Verdict == DecisionWords(d.Verdict)) && (f.Person is null || f.Person == d.Person)
        && (f.LimitId is null || f.LimitId == d.Reasons[0].Reason.LimitId);

    private static string DecisionWords(VerdictOutcome verdict) => verdict.ToString().ToLowerInvariant();

    private static IEnumerable<string> Ids(IEnumerable<StoredDecision> page) => page.Select(d => System.Text.Json.Nodes.JsonNode.Parse(d.Entry.Content)!["body"]!["id"]!.GetValue<string>());

    private static Decision Make(int i)
    {
        var outcome = (VerdictOutcome)(i % 3);
        return new Decision
        {
            Id = $"c-{i}", Piece = $"p-{i / 3}", Delivery = $"d-{i / 30}", Species = i % 5 == 4 ? null : Species[i % 2], RuleBook = Uses[i % 3], RuleBookVersion = 1, Use = "any",
            Verdict = outcome, ByRule = outcome, DecidedBy = DecidedBy.Rule, Person = $"person {i % 6}", Override = false,
            Evidence = [], HandMeasurements = [], Reasons = [new EvidenceReason(null, new Reason(Limits[i % 7 % 3], outcome, "words", "invented"))], HandChecks = [], Cautions = [],
        };
    }
}
