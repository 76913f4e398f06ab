using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>What the rows of a species limit agree on.</summary>
/// <param name="Outcome">What every row that may apply says, or hold where they differ.</param>
/// <param name="Row">Strictest row for an accept or a hold, laxest for a reject; null where the species is not listed.</param>
/// <param name="SpeciesWouldSettle">True where naming the species (or its class) would decide.</param>
/// <param name="Whose">"for Sitka spruce", or which row was taken where the species is not stated.</param>
internal sealed record SpeciesAnswer<T>(VerdictOutcome Outcome, T? Row, bool SpeciesWouldSettle, string Whose)
    where T : SpeciesValue;

/// <summary>
/// Limits that differ by species. Not stated: decided only where all listed species agree. Not listed: never decided.
/// </summary>
internal static class SpeciesJudge
{
    internal const string StateIt = "State the species, and its class where it has one: the limit depends on it.";

    /// <summary>Kebab-case name of what the caller wrote: "Sitka spruce" is sitka-spruce. Null where nothing was written.</summary>
    internal static string? NameOf(string? species) => string.IsNullOrWhiteSpace(species)
        ? null
        : string.Join('-', species.Trim().ToLowerInvariant().Split([' ', '_', '-'], StringSplitOptions.RemoveEmptyEntries));

    /// <summary>Rows that may apply: all of them where the species is not stated.</summary>
    internal static IReadOnlyList<T> Rows<T>(ISpeciesLimit<T> limit, string? species)
        where T : SpeciesValue =>
        NameOf(species) is { } name ? [.. limit.Species.Where(r => r.Names.Contains(name, StringComparer.Ordinal))] : limit.Species;

    /// <param name="limit">The limit.</param>
    /// <param name="species">As the caller gave it.</param>
    /// <param name="strictness">Larger is stricter.</param>
    /// <param name="decide">What one row says.</param>
    internal static SpeciesAnswer<T> Judge<T>(
        ISpeciesLimit<T> limit, string? species, Func<T, double> strictness, Func<T, VerdictOutcome> decide)
        where T : SpeciesValue
    {
        var rows = Rows(limit, species);
        var name = NameOf(species);
        if (rows.Count == 0)
            return new SpeciesAnswer<T>(VerdictOutcome.Hold, null, name is null, name is null ? "" : $"for {SpeciesWords.From(name)}");
        var outcomes = rows.Select(decide).Distinct().ToList();
        var agreed = outcomes.Count == 1 ? outcomes[0] : VerdictOutcome.Hold;
        var row = agreed == VerdictOutcome.Reject ? rows.MinBy(strictness)! : rows.MaxBy(strictness)!;
        return new SpeciesAnswer<T>(agreed, row, outcomes.Count > 1, Whose(name, agreed, rows, row));
    }

    /// <summary>The reason for a species that the limit does not list.</summary>
    internal static Reason NotListed(Limit limit, string? species) => new(
        limit.Id,
        VerdictOutcome.Hold,
        NameOf(species) is { } name
            ? $"No published limit for {SpeciesWords.From(name)}; defer to approved data."
            : "The species is not stated and this limit lists none.",
        limit.Source,
        HandCheck: NameOf(species) is { } listed ? $"Decide from approved data: no published limit for {SpeciesWords.From(listed)} is known." : StateIt)
    {
        Asks = NameOf(species) is null ? QuestionCode.Species : QuestionCode.ApprovedData,
    };

    private static string Whose<T>(string? name, VerdictOutcome outcome, IReadOnlyList<T> rows, T row)
        where T : SpeciesValue
    {
        if (name is not null)
            return rows.Count == 1 ? $"for {SpeciesWords.From(name)}" : $"for {SpeciesWords.From(name)} ({(outcome == VerdictOutcome.Reject ? "laxest" : "strictest")} of its classes)";
        return $"for {SpeciesWords.From(row.Names[0])}, the {(outcome == VerdictOutcome.Reject ? "laxest" : "strictest")} listed (species not stated)";
    }
}
