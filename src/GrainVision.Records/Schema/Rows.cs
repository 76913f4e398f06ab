using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Schema;

/// <summary>Commands with named values, so that the stores show their SQL and little else.</summary>
internal static class Rows
{
    /// <summary>Runs a command in a transaction; gives the number of rows it changed.</summary>
    public static int Execute(this SqliteTransaction transaction, string sql, params ReadOnlySpan<(string Name, object? Value)> values)
    {
        using var command = Command(transaction.Connection!, sql, values);
        command.Transaction = transaction;
        return command.ExecuteNonQuery();
    }

    public static List<T> Query<T>(this SqliteTransaction transaction, string sql, Func<SqliteDataReader, T> read, params ReadOnlySpan<(string Name, object? Value)> values)
    {
        using var command = Command(transaction.Connection!, sql, values);
        command.Transaction = transaction;
        return ReadAll(command, read);
    }

    public static List<T> Query<T>(this SqliteConnection connection, string sql, Func<SqliteDataReader, T> read, params ReadOnlySpan<(string Name, object? Value)> values)
    {
        using var command = Command(connection, sql, values);
        return ReadAll(command, read);
    }

    public static DateTimeOffset Time(string recorded) => RecordTime.Parse(recorded);

    public static string? TextOrNull(this SqliteDataReader row, int column) => row.IsDBNull(column) ? null : row.GetString(column);

    public static double? RealOrNull(this SqliteDataReader row, int column) => row.IsDBNull(column) ? null : row.GetDouble(column);

    private static SqliteCommand Command(SqliteConnection connection, string sql, ReadOnlySpan<(string Name, object? Value)> values)
    {
        var command = connection.CreateCommand();
#pragma warning disable CA2100 // the stores' own constants; whatever comes from outside is a named value
        command.CommandText = sql;
#pragma warning restore CA2100
        foreach (var (name, value) in values)
            command.Parameters.AddWithValue(name, value ?? DBNull.Value);
        return command;
    }

    private static List<T> ReadAll<T>(SqliteCommand command, Func<SqliteDataReader, T> read)
    {
        using var row = command.ExecuteReader();
        var all = new List<T>();
        while (row.Read())
            all.Add(read(row));
        return all;
    }
}
