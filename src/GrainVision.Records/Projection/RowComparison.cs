using System.Data;
using System.Globalization;
using System.Text;
using Dapper;
using GrainVision.Records.Log;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Projection;

/// <summary>Holds the tables against what the log says of them, both ways.</summary>
internal static class RowComparison
{
    /// <summary>The difference of the smallest entry; a row that no entry stands for comes last. Null where there is none.</summary>
    /// <param name="transaction">With the rows that the log says (<see cref="LogProjection"/>).</param>
    /// <param name="head">The last entry.</param>
    /// <param name="cancel">Looked at at every row.</param>
    public static LogProblem? FirstDifference(SqliteTransaction transaction, long head, CancellationToken cancel)
    {
        LogProblem? first = null;
        foreach (var table in ProjectedTables.All)
        {
            foreach (var problem in Differing(transaction, table, cancel))
            {
                if (first is null || problem.Number < first.Number)
                    first = problem;
            }
        }

        return first ?? ProjectedTables.All.Select(t => Surplus(transaction, t, head)).FirstOrDefault(p => p is not null);
    }

    /// <summary>Rows that are missing or say something else.</summary>
    private static IEnumerable<LogProblem> Differing(SqliteTransaction transaction, ProjectedTable table, CancellationToken cancel)
    {
        var same = string.Join(" AND ", table.Keys.Select(k => $"m.{k.Name} = s.{k.Name}"));
        var differs = string.Join(" OR ", table.Facts.Select(f => $"m.{f.Name} IS NOT s.{f.Name}"));
        using var reader = transaction.Connection!.ExecuteReader(
            $"""
            SELECT s.entry, m.{table.Keys[0].Name}, {string.Join(", ", table.Keys.Select(k => "s." + k.Name))}, {string.Join(", ", table.Facts.Select(f => $"s.{f.Name}, m.{f.Name}"))}
            FROM {ScratchTables.Of(table)} s LEFT JOIN main.{table.Name} m ON {same} WHERE m.{table.Keys[0].Name} IS NULL OR {differs};
            """,
            null, transaction);
        while (reader.Read())
        {
            cancel.ThrowIfCancellationRequested();
            var entry = reader.GetInt64(0);
            var id = Id(reader, 2, table.Keys.Count);
            if (reader.IsDBNull(1))
            {
                yield return new LogProblem(LogProblemCode.RecordMissing, entry, 0, $"The row {id} of {table.Name} (entry {entry}) is missing from the records.", "a row", "nothing")
                {
                    Table = table.Name, Row = id,
                };
                continue;
            }

            for (var i = 0; i < table.Facts.Count; i++)
            {
                var fact = table.Facts[i];
                var at = 2 + table.Keys.Count + (2 * i);
                var (says, found) = (Text(reader, at), Text(reader, at + 1));
                if (says == found || (fact.Kind == ColumnKind.Json && found is not null && says == Canonical(found)))
                    continue;
                yield return new LogProblem(
                    LogProblemCode.RecordChanged, entry, 0, $"The column {fact.Name} of the row {id} of {table.Name} is not what entry {entry} says.", says ?? "nothing", found ?? "nothing")
                {
                    Table = table.Name, Row = id, Column = fact.Name,
                };
                break;
            }
        }
    }

    private static LogProblem? Surplus(SqliteTransaction transaction, ProjectedTable table, long head)
    {
        var same = string.Join(" AND ", table.Keys.Select(k => $"s.{k.Name} = m.{k.Name}"));
        using var reader = transaction.Connection!.ExecuteReader(
            $"""
            SELECT {string.Join(", ", table.Keys.Select(k => "m." + k.Name))} FROM main.{table.Name} m
            WHERE NOT EXISTS (SELECT 1 FROM {ScratchTables.Of(table)} s WHERE {same}) LIMIT 1;
            """,
            null, transaction);
        if (!reader.Read())
            return null;
        var id = Id(reader, 0, table.Keys.Count);
        return new LogProblem(LogProblemCode.RecordNotInLog, head, 0, $"The row {id} of {table.Name} is in the records but not in the log.", "an entry", "nothing") { Table = table.Name, Row = id };
    }

    private static string Id(IDataRecord reader, int from, int count) => string.Join(' ', Enumerable.Range(from, count).Select(i => Text(reader, i)));

    private static string? Text(IDataRecord reader, int at) => reader.IsDBNull(at) ? null : Convert.ToString(reader.GetValue(at), CultureInfo.InvariantCulture);

    private static string Canonical(string json)
    {
        try
        {
            return Encoding.UTF8.GetString(CanonicalJson.From(json));
        }
        catch (FormatException)
        {
            return json; // not what the log says, whatever it is
        }
    }
}
