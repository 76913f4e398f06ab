using System.Globalization;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Records.Log;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Decisions;

/// <summary>The rows by which decisions are found. What a decision says stands in the log alone.</summary>
internal static class DecisionRows
{
    public static string Select { get; } = SelectWith(null);

    /// <summary>Six columns of the decision, then <paramref name="more"/>.</summary>
    public static string SelectWith(string? more) =>
        "SELECT l.number, l.previous_sha256, l.content_sha256, l.sha256, l.content, (SELECT s.id FROM decisions s WHERE s.supersedes = d.id)"
        + $"{(more is null ? "" : ", " + more)} FROM decisions d JOIN log l ON l.number = d.number";

    /// <summary>The limits that a decision rests on: those as grave as its verdict by the rule.</summary>
    public static IEnumerable<string> LimitsOf(Decision decision) => decision.Reasons.Where(r => r.Reason.Outcome == decision.ByRule).Select(r => r.Reason.LimitId).Distinct();

    /// <summary>A verdict as the contract spells it.</summary>
    public static string Word(VerdictOutcome verdict) => JsonNamingPolicy.KebabCaseLower.ConvertName(verdict.ToString());

    public static void Insert(SqliteTransaction transaction, long number, Decision decision)
    {
        using var add = transaction.Connection!.CreateCommand();
        add.Transaction = transaction;
        add.CommandText = """
            INSERT INTO decisions (number, id, piece, rule_book, verdict, person, delivery, species, supersedes)
            VALUES ($number, $id, $piece, $book, $verdict, $person, $delivery, $species, $supersedes);
            """;
        add.Parameters.AddWithValue("$number", number);
        add.Parameters.AddWithValue("$id", decision.Id);
        add.Parameters.AddWithValue("$piece", decision.Piece);
        add.Parameters.AddWithValue("$book", decision.RuleBook);
        add.Parameters.AddWithValue("$verdict", Word(decision.Verdict));
        add.Parameters.AddWithValue("$person", decision.Person);
        add.Parameters.AddWithValue("$delivery", (object?)decision.Delivery ?? DBNull.Value);
        add.Parameters.AddWithValue("$species", (object?)decision.Species ?? DBNull.Value);
        add.Parameters.AddWithValue("$supersedes", (object?)decision.Supersedes ?? DBNull.Value);
        add.ExecuteNonQuery();
        add.CommandText = """
            INSERT INTO decision_limits (limit_id, number, person, species, rule_book, verdict)
            VALUES ($limit, $number, $person, $species, $book, $verdict);
            """;
        var limitId = add.Parameters.Add("$limit", SqliteType.Text);
        foreach (var limit in LimitsOf(decision))
        {
            limitId.Value = limit;
            add.ExecuteNonQuery();
        }
    }

    /// <summary>A command that finds a page; the caller disposes it.</summary>
    /// <remarks>
    /// SQLite cannot know which filter is the narrow one (a piece has a few decisions, a delivery hundreds, a verdict hundreds of thousands), so the search walks the index of the
    /// first filter in that order, which holds the columns of those after it; a plus keeps SQLite off the other indexes. Rows are only read for the page itself.
    /// </remarks>
    public static SqliteCommand Find(SqliteConnection connection, DecisionFilter filter, long? before, int most)
    {
        var find = connection.CreateCommand();
        var where = new StringBuilder("WHERE n.number < $before");
        find.Parameters.AddWithValue("$before", before ?? long.MaxValue);
        var plus = "";
        var byRule = filter is { Rule: not null, Piece: null, Delivery: null };
        (string Column, string? Value)[] columns =
        [
            ("piece", filter.Piece), ("delivery", filter.Delivery), ("limit_id", byRule ? filter.Rule : null), ("person", filter.Person), ("species", filter.Species),
            ("rule_book", filter.Use), ("verdict", filter.Verdict),
        ];
        foreach (var (column, value) in columns)
        {
            if (value is null)
                continue;
            where.Append(CultureInfo.InvariantCulture, $" AND {plus}n.{column} = ${column}");
            find.Parameters.AddWithValue("$" + column, value);
            plus = "+";
        }

        if (filter.Rule is { } rule && !byRule)
        {
            where.Append(" AND EXISTS (SELECT 1 FROM decision_limits r WHERE r.limit_id = $limit_id AND r.number = n.number)");
            find.Parameters.AddWithValue("$limit_id", rule);
        }

        TimeRange.Add(connection, find, where, filter.From, filter.To, "n.number");
        find.Parameters.AddWithValue("$most", most);
#pragma warning disable CA2100 // made of the constants above
        find.CommandText = $"{Select} WHERE d.number IN (SELECT n.number FROM {(byRule ? "decision_limits" : "decisions")} n {where} ORDER BY n.number DESC LIMIT $most) ORDER BY d.number DESC;";
#pragma warning restore CA2100
        return find;
    }

    public static List<StoredDecision> Read(SqliteCommand find)
    {
        using var row = find.ExecuteReader();
        var decisions = new List<StoredDecision>();
        while (row.Read())
            decisions.Add(Read(row));
        return decisions;
    }

    public static StoredDecision Read(SqliteDataReader row) => new(LogReader.Read(row), row.IsDBNull(5) ? null : row.GetString(5));
}
