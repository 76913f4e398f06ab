using System.Globalization;
using GrainVision.Grading.Refusals;

namespace GrainVision.Service.Http;

/// <summary>The query of a list: known filters, a span of time, and the page by key.</summary>
internal sealed class Query
{
    /// <summary>50: about a screen on a phone and two on a desk.</summary>
    private const int UsualLimit = 50;

    /// <summary>500: a page of measurements stays within some ten MB.</summary>
    private const int MostLimit = 500;

    private static readonly string[] Paging = ["after", "limit"];

    private readonly Dictionary<string, string> _values;

    private Query(Dictionary<string, string> values) => _values = values;

    /// <summary>Not before.</summary>
    public DateTimeOffset? From { get; private init; }

    /// <summary>Before.</summary>
    public DateTimeOffset? To { get; private init; }

    /// <summary>Key of the last item of the page before.</summary>
    public long? After { get; private init; }

    public int Limit { get; private init; }

    public string? this[string name] => _values.GetValueOrDefault(name);

    /// <summary>Reads the query; a parameter that is not known is refused, since a misspelt filter would filter nothing.</summary>
    public static Outcome<Query> Read(HttpContext http, IReadOnlyList<string> filters)
    {
        var values = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var (name, value) in http.Request.Query)
        {
            if (!filters.Contains(name) && !Paging.Contains(name))
                return Bad($"'{name}' is not known here", filters);
            if (value.Count != 1 || string.IsNullOrEmpty(value[0]))
                return Bad($"'{name}' needs one value", filters);
            values[name] = value[0]!;
        }

        if (!Time(values, "from", out var from) || !Time(values, "to", out var to))
            return Bad("'from' and 'to' are dates such as 2026-07-04 or 2026-07-04T12:30:00Z", filters);
        if (!Number(values, "after", out var after) || !Number(values, "limit", out var limit) || limit is 0 or > MostLimit)
            return Bad($"'after' is the one that the last page gave, 'limit' 1 to {MostLimit}", filters);
        return new Query(values) { From = from, To = to, After = after, Limit = (int)(limit ?? UsualLimit) };
    }

    private static bool Time(Dictionary<string, string> values, string name, out DateTimeOffset? time)
    {
        time = null;
        if (!values.TryGetValue(name, out var text))
            return true;
        if (!DateTimeOffset.TryParse(text, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var read))
            return false;
        time = read;
        return true;
    }

    private static bool Number(Dictionary<string, string> values, string name, out long? number)
    {
        number = null;
        if (!values.TryGetValue(name, out var text))
            return true;
        if (!long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var read))
            return false;
        number = read;
        return true;
    }

    private static Refusal Bad(string why, IReadOnlyList<string> filters) => RefusalCatalog.QueryUnreadable.Because($"The query cannot be read: {why}.", $"Filters: {string.Join(", ", filters)}; pages: after, limit.");
}
