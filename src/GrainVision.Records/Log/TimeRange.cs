using System.Data.Common;
using System.Globalization;
using Dapper;

namespace GrainVision.Records.Log;

/// <summary>
/// A moment as an entry number: the log's time never goes back, so one look into its index replaces a filter on every row.
/// </summary>
internal static class TimeRange
{
    /// <summary>Number of the first entry of that time or later; beyond all where there is none; null for no time.</summary>
    public static long? FirstSince(DbConnection connection, DateTimeOffset? time)
    {
        if (time is not { } moment)
            return null;
        var at = moment.ToUniversalTime().ToString(LogWriter.TimeFormat, CultureInfo.InvariantCulture);
        return connection.ExecuteScalar<long?>("SELECT number FROM log WHERE at_utc >= @at ORDER BY at_utc, number LIMIT 1;", new { at }) ?? long.MaxValue;
    }
}
