using GrainVision.Records.Measurements;
using GrainVision.Records.RuleBooks;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Log;

/// <summary>Enters what was recorded before there was a log, once, when the log's tables are made. The entries say so: they prove nothing of the time before.</summary>
internal static class OlderRecords
{
    private const string Why = "Recorded before the log began; entered when the records were brought up to date.";

    public static void Enter(SqliteTransaction transaction)
    {
        foreach (var book in Books(transaction))
            RuleBookStore.Append(transaction, book, Why);
        // One at a time: a list of every measurement ever made may not fit into memory.
        for (var last = ""; Next(transaction, last) is { } measurement; last = measurement.Id)
            MeasurementEntry.Append(transaction, measurement, new Recording("unknown", new EntryVersions()) { Why = Why });
    }

    private static List<StoredRuleBook> Books(SqliteTransaction transaction)
    {
        using var find = transaction.Connection!.CreateCommand();
        find.Transaction = transaction;
        find.CommandText = $"SELECT {RuleBookStore.Columns} FROM rule_books ORDER BY created_utc, id, version;";
        using var row = find.ExecuteReader();
        var books = new List<StoredRuleBook>();
        while (row.Read())
            books.Add(RuleBookStore.Read(row));
        return books;
    }

    /// <summary>Ids are in order of time.</summary>
    private static StoredMeasurement? Next(SqliteTransaction transaction, string last)
    {
        using var find = transaction.Connection!.CreateCommand();
        find.Transaction = transaction;
        find.CommandText = $"SELECT {MeasurementStore.Columns} FROM measurements m WHERE m.id > $last ORDER BY m.id LIMIT 1;";
        find.Parameters.AddWithValue("$last", last);
        using var row = find.ExecuteReader();
        return row.Read() ? MeasurementStore.Read(row) : null;
    }
}
