using System.Globalization;
using System.Text;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Log;

/// <summary>What to look for. Null: anything.</summary>
public sealed record LogFilter
{
    public string? Kind { get; init; }

    public string? Who { get; init; }

    public string? Delivery { get; init; }

    public string? Piece { get; init; }

    public string? Measurement { get; init; }

    public string? Decision { get; init; }

    public string? RuleBook { get; init; }

    /// <summary>Not before.</summary>
    public DateTimeOffset? From { get; init; }

    /// <summary>Before.</summary>
    public DateTimeOffset? To { get; init; }
}

/// <summary>Reads the log: one entry, pages by filter, or all of it as lines.</summary>
public sealed class LogReader(RecordsDatabase database)
{
    private const string Columns = "number, previous_sha256, content_sha256, sha256, content";

    /// <summary>The entry, or null where there is none of that number.</summary>
    public LogEntry? Find(long number)
    {
        using var connection = database.Connect();
        using var find = connection.CreateCommand();
        find.CommandText = $"SELECT {Columns} FROM log WHERE number = $number;";
        find.Parameters.AddWithValue("$number", number);
        using var row = find.ExecuteReader();
        return row.Read() ? Read(row) : null;
    }

    /// <summary>The last entry, or null where the log is empty.</summary>
    public LogEntry? Head()
    {
        using var connection = database.Connect();
        using var find = connection.CreateCommand();
        find.CommandText = $"SELECT {Columns} FROM log ORDER BY number DESC LIMIT 1;";
        using var row = find.ExecuteReader();
        return row.Read() ? Read(row) : null;
    }

    /// <summary>A page of entries, newest first.</summary>
    /// <param name="filter">What to look for.</param>
    /// <param name="before">Only entries of a smaller number: the last one of the page before; null for the first page.</param>
    /// <param name="most">Entries of a page.</param>
    public IReadOnlyList<LogEntry> Page(LogFilter filter, long? before, int most)
    {
        ArgumentNullException.ThrowIfNull(filter);
        using var connection = database.Connect();
        using var find = connection.CreateCommand();
        var where = new StringBuilder("WHERE number < $before");
        find.Parameters.AddWithValue("$before", before ?? long.MaxValue);
        foreach (var (column, value) in new[]
        {
            ("kind", filter.Kind), ("who", filter.Who), ("delivery", filter.Delivery), ("piece", filter.Piece), ("measurement", filter.Measurement),
            ("decision", filter.Decision), ("rule_book", filter.RuleBook),
        })
        {
            if (value is null)
                continue;
            where.Append(CultureInfo.InvariantCulture, $" AND {column} = ${column}");
            find.Parameters.AddWithValue("$" + column, value);
        }

        TimeRange.Add(connection, find, where, filter.From, filter.To);
        find.Parameters.AddWithValue("$most", most);
#pragma warning disable CA2100 // made of the constants above
        find.CommandText = $"SELECT {Columns} FROM log {where} ORDER BY number DESC LIMIT $most;";
#pragma warning restore CA2100
        using var row = find.ExecuteReader();
        var entries = new List<LogEntry>();
        while (row.Read())
            entries.Add(Read(row));
        return entries;
    }

    /// <summary>Entries from one number to another, both included, oldest first, read as they are asked for.</summary>
    public IEnumerable<LogEntry> Range(long from, long to)
    {
        using var connection = database.Connect();
        using var find = connection.CreateCommand();
        find.CommandText = $"SELECT {Columns} FROM log WHERE number BETWEEN $from AND $to ORDER BY number;";
        find.Parameters.AddWithValue("$from", from);
        find.Parameters.AddWithValue("$to", to);
        using var row = find.ExecuteReader();
        while (row.Read())
            yield return Read(row);
    }

    internal static LogEntry Read(SqliteDataReader row) => new(row.GetInt64(0), row.GetString(1), row.GetString(2), row.GetString(3), row.GetString(4));
}
