namespace GrainVision.Grading.Rules;

/// <summary>A set of limits for one use, versioned: a changed limit is a new version, never an edit.</summary>
public sealed record RuleBook
{
    /// <summary>Kebab-case, such as <c>spar</c>.</summary>
    public required string Id { get; init; }

    /// <summary>1 and up.</summary>
    public required int Version { get; init; }

    /// <summary>What pieces are judged for, in words.</summary>
    public required string Use { get; init; }

    public required string Title { get; init; }

    /// <summary>What this book does not replace: goes on every verdict.</summary>
    public required string ApprovedData { get; init; }

    /// <summary>What readers of the book should know, such as what is not a blemish.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];

    public required IReadOnlyList<Limit> Limits { get; init; }

    /// <summary>What is wrong with it, in words; empty where all is well.</summary>
    internal IEnumerable<string> Problems()
    {
        if (!Check.IsKebab(Id))
            yield return "id must be kebab case such as cap-strip";
        if (Version < 1)
            yield return "version must be 1 or more";
        foreach (var problem in Check.Words(Use, "use").Concat(Check.Words(Title, "title")).Concat(Check.Words(ApprovedData, "approvedData")))
            yield return problem;
        if (Notes.Any(string.IsNullOrWhiteSpace))
            yield return "a note must not be empty";
        if (Limits.Count == 0)
            yield return "limits must not be empty";
        for (var i = 0; i < Limits.Count; i++)
        {
            foreach (var problem in LimitProblems(Limits[i]))
                yield return $"limits[{i}] ({Limits[i]?.Id}): {problem}";
        }

        foreach (var twice in Limits.Where(l => l is not null).GroupBy(l => l.Id, StringComparer.Ordinal).Where(g => g.Count() > 1))
            yield return $"two limits have the id {twice.Key}";
    }

    private static IEnumerable<string> LimitProblems(Limit? limit)
    {
        if (limit is null)
            return ["is null"];
        var common = Check.Words(limit.Text, "text");
        if (!Check.IsKebab(limit.Id))
            common = common.Append("id must be kebab case");
        if (limit.Sources.Count == 0)
            common = common.Append("sources must not be empty: every limit says where it comes from");
        var sources = limit.Sources.SelectMany(s => s?.Problems() ?? ["a source is null"]);
        return common.Concat(sources).Concat(limit.Problems());
    }
}
