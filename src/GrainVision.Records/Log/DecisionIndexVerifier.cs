using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Records.Decisions;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Log;

/// <summary>Holds the rows by which decisions are found by rule against the log: none missing, none changed, none too many.</summary>
internal sealed class DecisionIndexVerifier : IDisposable
{
    private readonly SqliteCommand _find;
    private long _expected;

    public DecisionIndexVerifier(SqliteTransaction transaction)
    {
        _find = transaction.Connection!.CreateCommand();
        _find.Transaction = transaction;
        _find.CommandText = """
            SELECT 1 FROM decision_limits
            WHERE limit_id = $limit AND number = $number AND person = $person AND species IS $species AND rule_book = $book AND verdict = $verdict;
            """;
        foreach (var name in new[] { "$limit", "$person", "$species", "$book", "$verdict" })
            _find.Parameters.Add(name, SqliteType.Text);
        _find.Parameters.Add("$number", SqliteType.Integer);
    }

    public LogProblem? Differs(LogEntry entry, JsonElement body)
    {
        var decision = body.Deserialize<Decision>(ContractJson.Options)!;
        foreach (var limit in DecisionRows.LimitsOf(decision))
        {
            _expected++;
            _find.Parameters["$limit"].Value = limit;
            _find.Parameters["$number"].Value = entry.Number;
            _find.Parameters["$person"].Value = decision.Person;
            _find.Parameters["$species"].Value = (object?)decision.Species ?? DBNull.Value;
            _find.Parameters["$book"].Value = decision.RuleBook;
            _find.Parameters["$verdict"].Value = DecisionRows.Word(decision.Verdict);
            if (_find.ExecuteScalar() is null)
                return new LogProblem(entry.Number, entry.Number, $"The decision of entry {entry.Number} is no longer found by the rule it rests on.", limit, "nothing, or other columns");
        }

        return null;
    }

    /// <summary>After the last entry: rows that no decision stands for.</summary>
    public LogProblem? Surplus(long head)
    {
        using var count = _find.Connection!.CreateCommand();
        count.Transaction = _find.Transaction;
        count.CommandText = "SELECT COUNT(*) FROM decision_limits;";
        var found = (long)count.ExecuteScalar()!;
        return found == _expected ? null : new LogProblem(head, 0, "Decisions are found by rules that they do not rest on.", $"{_expected} rows", $"{found} rows");
    }

    public void Dispose() => _find.Dispose();
}
