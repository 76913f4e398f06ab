using System.Globalization;
using System.Text;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Log;

/// <summary>
/// A span of time as a span of entry numbers: the log's time never goes back, so one look into its index each way replaces a filter on every row.
/// </summary>
internal static class TimeRange
{
    public static void Add(SqliteConnection connection, SqliteCommand find, StringBuilder where, DateTimeOffset? from, DateTimeOffset? to, string number = "number")
    {
        if (from is { } first)
        {
            where.Append(CultureInfo.InvariantCulture, $" AND {number} >= $from");
            find.Parameters.AddWithValue("$from", FirstSince(connection, first));
        }

        if (to is { } end)
        {
            where.Append(CultureInfo.InvariantCulture, $" AND {number} < $to");
            find.Parameters.AddWithValue("$to", FirstSince(connection, end));
        }
    }

    /// <summary>Number of the first entry of that time or later; beyond all where there is none.</summary>
    private static long FirstSince(SqliteConnection connection, DateTimeOffset time)
    {
        using var find = connection.CreateCommand();
        find.CommandText = "SELECT number FROM log WHERE at_utc >= $time ORDER BY at_utc, number LIMIT 1;";
        find.Parameters.AddWithValue("$time", time.ToUniversalTime().ToString(LogWriter.TimeFormat, CultureInfo.InvariantCulture));
        return find.ExecuteScalar() is long number ? number : long.MaxValue;
    }
}
