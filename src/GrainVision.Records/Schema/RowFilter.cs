using Dapper;

namespace GrainVision.Records.Schema;

/// <summary>Conditions of a search that hold together, each with its named value.</summary>
internal sealed class RowFilter
{
    private readonly List<string> _conditions = [];

    /// <summary>Values by name; others of the query may be added.</summary>
    public DynamicParameters Values { get; } = new();

    /// <summary><c>WHERE</c> and all conditions; empty where there is none.</summary>
    public string Where => _conditions.Count == 0 ? "" : "WHERE " + string.Join(" AND ", _conditions);

    /// <summary>Adds a condition where it has a value.</summary>
    /// <param name="condition">Our own SQL; the value stands in it as <c>@name</c>.</param>
    /// <param name="name">Name of the value.</param>
    /// <param name="value">Null: no condition.</param>
    public void Add(string condition, string name, object? value)
    {
        if (value is null)
            return;
        _conditions.Add(condition);
        Values.Add(name, value);
    }
}
