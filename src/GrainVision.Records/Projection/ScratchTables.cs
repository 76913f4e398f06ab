using System.Data.Common;
using Dapper;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Projection;

/// <summary>
/// Rows as the log says them, in temporary tables of the connection (on disk once they are large: memory stays flat). They go when the transaction is
/// rolled back.
/// </summary>
internal sealed class ScratchTables : IDisposable
{
    private readonly SqliteTransaction _transaction;
    private readonly Dictionary<string, SqliteCommand> _commands = new(StringComparer.Ordinal);

    public ScratchTables(SqliteTransaction transaction)
    {
        _transaction = transaction;
        foreach (var table in ProjectedTables.All)
        {
            // No type: what is put in is what stands there, as it does in the strict tables.
            var columns = string.Join(", ", table.Columns.Select(c => c.Name));
            transaction.Connection!.Execute($"CREATE TEMP TABLE {Of(table)} (entry INTEGER NOT NULL, {columns}, PRIMARY KEY ({string.Join(", ", table.Keys.Select(k => k.Name))}));", null, transaction);
        }
    }

    /// <summary>Name of the temporary table; its column <c>entry</c> is the entry that last spoke of the row.</summary>
    public static string Of(ProjectedTable table) => "temp.said_" + table.Name;

    /// <summary>Puts a row in, or these columns of it over what it was.</summary>
    public void Put(ProjectedTable table, long entry, IReadOnlyDictionary<string, object?> row)
    {
        var command = Command(table, row.Keys);
        command.Parameters[0].Value = entry;
        var i = 1;
        foreach (var value in row.Values)
            command.Parameters[i++].Value = value ?? DBNull.Value;
        command.ExecuteNonQuery();
    }

    /// <summary>A photo of the delivery was done with: the delivery has counted that far.</summary>
    public void CountTurn(object delivery, long turn) => _transaction.Connection!.Execute(
        $"UPDATE {Of(ProjectedTables.Deliveries)} SET finished_count = MAX(finished_count, @turn) WHERE id = @delivery;", new { turn, delivery }, _transaction);

    /// <summary>Takes the temporary tables away in a transaction that is kept.</summary>
    public void Drop()
    {
        Dispose();
        foreach (var table in ProjectedTables.All)
            _transaction.Connection!.Execute($"DROP TABLE {Of(table)};", null, _transaction);
    }

    public void Dispose()
    {
        foreach (var command in _commands.Values)
            command.Dispose();
        _commands.Clear();
    }

    private SqliteCommand Command(ProjectedTable table, IEnumerable<string> columns)
    {
        var names = columns.ToList();
        var key = table.Name + ":" + string.Join(",", names);
        if (_commands.TryGetValue(key, out var command))
            return command;
        command = _transaction.Connection!.CreateCommand();
        command.Transaction = _transaction;
        var facts = names.Where(n => table.Keys.All(k => k.Name != n)).Prepend("entry").Select(n => $"{n} = excluded.{n}");
#pragma warning disable CA2100 // our own names of columns
        command.CommandText = $"""
            INSERT INTO {Of(table)} (entry, {string.Join(", ", names)}) VALUES (@entry, {string.Join(", ", names.Select(n => "@" + n))})
            ON CONFLICT ({string.Join(", ", table.Keys.Select(k => k.Name))}) DO UPDATE SET {string.Join(", ", facts)};
            """;
#pragma warning restore CA2100
        foreach (var name in names.Prepend("entry"))
            command.Parameters.Add(new SqliteParameter("@" + name, DBNull.Value));
        return _commands[key] = command;
    }
}
