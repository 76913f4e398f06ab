using System.Data.Common;
using System.Text.Json;
using Dapper;
using GrainVision.Grading.Findings;
using GrainVision.Records.Decisions;
using GrainVision.Records.Log;

namespace GrainVision.Records.Verification;

/// <summary>Holds the rows by which decisions are found by rule against the log: none missing, none changed, none too many.</summary>
internal sealed class DecisionIndexVerifier(DbTransaction transaction)
{
    /// <summary>500 rows asked for at once: a question a row would take longer than all else.</summary>
    private const int Batch = 500;

    private const string FirstMissing = """
        SELECT e.value ->> 'number' AS Number, e.value ->> 'limit' AS "Limit" FROM json_each(@expected) e WHERE NOT EXISTS
            (SELECT 1 FROM decision_limits d WHERE d.limit_id = e.value ->> 'limit' AND d.number = e.value ->> 'number' AND d.person = e.value ->> 'person'
                AND d.species IS e.value ->> 'species' AND d.rule_book = e.value ->> 'ruleBook' AND d.verdict = e.value ->> 'verdict')
        ORDER BY e.key LIMIT 1;
        """;

    private readonly List<ExpectedRow> _waiting = [];
    private long _expected;

    /// <summary>Takes a decision's rows; a problem may be of a decision before.</summary>
    public LogProblem? Add(long number, JsonElement body)
    {
        var decision = body.Deserialize<Decision>(ContractJson.Options)!;
        foreach (var limit in DecisionRows.LimitsOf(decision))
            _waiting.Add(new ExpectedRow(number, limit, decision.Person, decision.Species, decision.RuleBook, DecisionRows.Word(decision.Verdict)));
        return _waiting.Count < Batch ? null : Finish();
    }

    /// <summary>Looks for the rows taken so far.</summary>
    public LogProblem? Finish()
    {
        if (_waiting.Count == 0)
            return null;
        var expected = JsonSerializer.Serialize(_waiting, ContractJson.Options);
        var missing = transaction.Connection!.QueryFirstOrDefault<MissingRow>(FirstMissing, new { expected }, transaction);
        _expected += _waiting.Count;
        _waiting.Clear();
        return missing is null
            ? null
            : new LogProblem(
                LogProblemCode.SearchColumnChanged, missing.Number, missing.Number, $"The decision of entry {missing.Number} is no longer found by the rule it rests on.",
                missing.Limit, "nothing, or other columns");
    }

    /// <summary>After the last entry: rows that no decision stands for.</summary>
    public LogProblem? Surplus(long head)
    {
        var found = transaction.Connection!.ExecuteScalar<long>("SELECT COUNT(*) FROM decision_limits;", null, transaction);
        return found == _expected
            ? null
            : new LogProblem(LogProblemCode.SearchColumnChanged, head, 0, "Decisions are found by rules that they do not rest on.", $"{_expected} rows", $"{found} rows");
    }

    private sealed record ExpectedRow(long Number, string Limit, string Person, string? Species, string RuleBook, string Verdict);

    private sealed record MissingRow(long Number, string Limit);
}
