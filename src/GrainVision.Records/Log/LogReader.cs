using Dapper;
using GrainVision.Records.Schema;

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
    /// <summary>Columns of a <see cref="LogEntry"/>, of the table <c>log</c> as <c>l</c>.</summary>
    internal const string Columns =
        "l.number AS Number, l.previous_sha256 AS PreviousSha256, l.content_sha256 AS ContentSha256, l.sha256 AS Sha256, l.content AS Content";

    /// <summary>The entry, or null where there is none of that number.</summary>
    public LogEntry? Find(long number)
    {
        using var connection = database.Connect();
        return connection.QueryFirstOrDefault<LogEntry>($"SELECT {Columns} FROM log l WHERE l.number = @number;", new { number });
    }

    /// <summary>The last entry, or null where the log is empty.</summary>
    public LogEntry? Head()
    {
        using var connection = database.Connect();
        return connection.QueryFirstOrDefault<LogEntry>($"SELECT {Columns} FROM log l ORDER BY l.number DESC LIMIT 1;");
    }

    /// <summary>A page of entries, newest first.</summary>
    /// <param name="filter">What to look for.</param>
    /// <param name="before">Only entries of a smaller number: the last one of the page before; null for the first page.</param>
    /// <param name="most">Entries of a page.</param>
    public IReadOnlyList<LogEntry> Page(LogFilter filter, long? before, int most)
    {
        ArgumentNullException.ThrowIfNull(filter);
        using var connection = database.Connect();
        var rows = new RowFilter();
        rows.Add("l.number < @before", "before", before ?? long.MaxValue);
        rows.Add("l.kind = @kind", "kind", filter.Kind);
        rows.Add("l.who = @who", "who", filter.Who);
        rows.Add("l.delivery = @delivery", "delivery", filter.Delivery);
        rows.Add("l.piece = @piece", "piece", filter.Piece);
        rows.Add("l.measurement = @measurement", "measurement", filter.Measurement);
        rows.Add("l.decision = @decision", "decision", filter.Decision);
        rows.Add("l.rule_book = @ruleBook", "ruleBook", filter.RuleBook);
        rows.Add("l.number >= @from", "from", TimeRange.FirstSince(connection, filter.From));
        rows.Add("l.number < @to", "to", TimeRange.FirstSince(connection, filter.To));
        rows.Values.Add("most", most);
        return connection.Query<LogEntry>($"SELECT {Columns} FROM log l {rows.Where} ORDER BY l.number DESC LIMIT @most;", rows.Values).AsList();
    }

    /// <summary>Entries from one number to another, both included, oldest first, read as they are asked for.</summary>
    public IEnumerable<LogEntry> Range(long from, long to)
    {
        using var connection = database.Connect();
        var rows = connection.Query<LogEntry>(
            $"SELECT {Columns} FROM log l WHERE l.number BETWEEN @from AND @to ORDER BY l.number;", new { from, to }, buffered: false);
        foreach (var entry in rows)
            yield return entry;
    }
}
