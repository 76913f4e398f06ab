using System.Globalization;
using System.Text;
using System.Text.Json;
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
        add.Parameters.AddWithValue("$verdict", JsonNamingPolicy.KebabCaseLower.ConvertName(decision.Verdict.ToString()));
        add.Parameters.AddWithValue("$person", decision.Person);
        add.Parameters.AddWithValue("$delivery", (object?)decision.Delivery ?? DBNull.Value);
        add.Parameters.AddWithValue("$species", (object?)decision.Species ?? DBNull.Value);
        add.Parameters.AddWithValue("$supersedes", (object?)decision.Supersedes ?? DBNull.Value);
        add.ExecuteNonQuery();
        foreach (var limit in decision.Reasons.Where(r => r.Reason.Outcome == decision.ByRule).Select(r => r.Reason.LimitId).Distinct())
        {
            using var rule = transaction.Connection.CreateCommand();
            rule.Transaction = transaction;
            rule.CommandText = "INSERT INTO decision_limits (limit_id, number) VALUES ($limit, $number);";
            rule.Parameters.AddWithValue("$limit", limit);
            rule.Parameters.AddWithValue("$number", number);
            rule.ExecuteNonQuery();
        }
    }

    /// <summary>A command that finds a page; the caller disposes it.</summary>
    public static SqliteCommand Find(SqliteConnection connection, DecisionFilter filter, long? before, int most)
    {
        var find = connection.CreateCommand();
        var where = new StringBuilder("WHERE d.number < $before");
        find.Parameters.AddWithValue("$before", before ?? long.MaxValue);
        foreach (var (column, value) in new[]
        {
            ("d.delivery", filter.Delivery), ("d.piece", filter.Piece), ("d.species", filter.Species), ("d.rule_book", filter.Use),
            ("d.verdict", filter.Verdict), ("d.person", filter.Person), ("r.limit_id", filter.Rule),
        })
        {
            if (value is null)
                continue;
            var name = "$" + column[2..];
            where.Append(CultureInfo.InvariantCulture, $" AND {column} = {name}");
            find.Parameters.AddWithValue(name, value);
        }

        TimeRange.Add(connection, find, where, filter.From, filter.To, "d.number");
        find.Parameters.AddWithValue("$most", most);
        var rule = filter.Rule is null ? "" : " JOIN decision_limits r ON r.number = d.number";
#pragma warning disable CA2100 // made of the constants above
        find.CommandText = $"{Select}{rule} {where} ORDER BY {(filter.Rule is null ? "d.number" : "r.number")} DESC LIMIT $most;";
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
