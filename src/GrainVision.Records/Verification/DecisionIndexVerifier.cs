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
    /// <summary>1,000 rows looked for at once: each limit's among them lie side by side in the table's key.</summary>
    private const int Batch = 1_000;

    private const string RowsOfLimit = """
        SELECT number AS Number, limit_id AS LimitId, person AS Person, species AS Species, rule_book AS RuleBook, verdict AS Verdict
        FROM decision_limits WHERE limit_id = @limit AND number BETWEEN @first AND @last;
        """;

    private readonly HashSet<LimitRow> _waiting = [];
    private long _expected;

    /// <summary>Takes a decision's rows; a problem may be of a decision before.</summary>
    public LogProblem? Add(long number, JsonElement body)
    {
        var decision = body.Deserialize<Decision>(ContractJson.Options)!;
        foreach (var limit in DecisionRows.LimitsOf(decision))
            _waiting.Add(new LimitRow(number, limit, decision.Person, decision.Species, decision.RuleBook, DecisionRows.Word(decision.Verdict)));
        return _waiting.Count < Batch ? null : Finish();
    }

    /// <summary>Looks for the rows taken so far.</summary>
    public LogProblem? Finish()
    {
        if (_waiting.Count == 0)
            return null;
        _expected += _waiting.Count;
        var (first, last) = (_waiting.Min(r => r.Number), _waiting.Max(r => r.Number));
        foreach (var limit in _waiting.Select(r => r.LimitId).Distinct().ToList())
            _waiting.ExceptWith(transaction.Connection!.Query<LimitRow>(RowsOfLimit, new { limit, first, last }, transaction, buffered: false));
        var missing = _waiting.MinBy(r => r.Number);
        _waiting.Clear();
        return missing is null
            ? null
            : new LogProblem(
                LogProblemCode.SearchColumnChanged, missing.Number, missing.Number, $"The decision of entry {missing.Number} is no longer found by the rule it rests on.",
                missing.LimitId, "nothing, or other columns");
    }

    /// <summary>After the last entry: rows that no decision stands for.</summary>
    public LogProblem? Surplus(long head)
    {
        var found = transaction.Connection!.ExecuteScalar<long>("SELECT COUNT(*) FROM decision_limits;", null, transaction);
        return found == _expected
            ? null
            : new LogProblem(LogProblemCode.SearchColumnChanged, head, 0, "Decisions are found by rules that they do not rest on.", $"{_expected} rows", $"{found} rows");
    }

    private sealed record LimitRow(long Number, string LimitId, string Person, string? Species, string RuleBook, string Verdict);
}
