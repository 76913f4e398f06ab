using System.Data.Common;
using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using Dapper;

namespace GrainVision.Records.Projection;

/// <summary>What a column holds, and so how an entry says it.</summary>
internal enum ColumnKind
{
    Text,

    Integer,

    Real,

    /// <summary>0 or 1; said where it is 1.</summary>
    Flag,

    /// <summary>JSON text in the table; the value itself in an entry, so that it is compared by what it says, not by how it was written.</summary>
    Json,
}

/// <summary>A column that follows from the log.</summary>
/// <param name="Name">In the database.</param>
/// <param name="Member">In an entry.</param>
/// <param name="Kind">What it holds.</param>
/// <param name="Inside">Member of the entry that it is a part of, and then said by that one alone; null where it stands for itself.</param>
internal sealed record ProjectedColumn(string Name, string Member, ColumnKind Kind = ColumnKind.Text, string? Inside = null);

/// <summary>A table whose rows follow from the log: how a row is said in an entry and read back from it.</summary>
internal sealed class ProjectedTable(string name, IReadOnlyList<ProjectedColumn> keys, IReadOnlyList<ProjectedColumn> facts)
{
    /// <summary>In the database.</summary>
    public string Name => name;

    public IReadOnlyList<ProjectedColumn> Keys => keys;

    /// <summary>All other columns that follow from the log. Columns left out are notes of the running program.</summary>
    public IReadOnlyList<ProjectedColumn> Facts => facts;

    public IReadOnlyList<ProjectedColumn> Columns { get; } = [.. keys, .. facts];

    /// <summary>The rows as entries say them, read as they are asked for.</summary>
    /// <param name="transaction">In which the rows stand as they are to be said.</param>
    /// <param name="where">A condition on the table, or empty.</param>
    /// <param name="values">Of the condition.</param>
    public IEnumerable<JsonObject> Say(DbTransaction transaction, string where = "", object? values = null)
    {
        using var reader = transaction.Connection!.ExecuteReader($"SELECT {string.Join(", ", Columns.Select(c => c.Name))} FROM {name} {where};", values, transaction);
        while (reader.Read())
        {
            var said = new JsonObject();
            for (var i = 0; i < Columns.Count; i++)
            {
                if (Columns[i].Inside is null && !reader.IsDBNull(i) && Node(Columns[i].Kind, reader.GetValue(i)) is { } node)
                    said[Columns[i].Member] = node;
            }

            yield return said;
        }
    }

    /// <summary>A row by column as an entry says it: null where the entry is silent.</summary>
    /// <param name="said">Canonical JSON.</param>
    public Dictionary<string, object?> Read(JsonElement said)
    {
        var row = new Dictionary<string, object?>(StringComparer.Ordinal);
        foreach (var column in Columns)
        {
            var from = said;
            var known = (column.Inside is null || said.TryGetProperty(column.Inside, out from)) && from.TryGetProperty(column.Member, out from);
            row[column.Name] = known ? Value(column.Kind, from) : column.Kind == ColumnKind.Flag ? 0L : null;
        }

        return row;
    }

    /// <summary>The value of a column as an entry's canonical JSON says it.</summary>
    public static object? Value(ColumnKind kind, JsonElement said) => kind switch
    {
        ColumnKind.Json => said.GetRawText(),
        ColumnKind.Integer => said.GetInt64(),
        ColumnKind.Real => said.GetDouble(),
        ColumnKind.Flag => said.GetBoolean() ? 1L : 0L,
        _ => said.GetString(),
    };

    private static JsonNode? Node(ColumnKind kind, object value) => kind switch
    {
        ColumnKind.Json => JsonNode.Parse((string)value),
        ColumnKind.Integer => Convert.ToInt64(value, CultureInfo.InvariantCulture),
        ColumnKind.Real => Convert.ToDouble(value, CultureInfo.InvariantCulture),
        ColumnKind.Flag => Convert.ToInt64(value, CultureInfo.InvariantCulture) == 0 ? null : JsonValue.Create(true),
        _ => (string)value,
    };
}
