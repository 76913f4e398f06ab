using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;

namespace GrainVision.Grading.Rules;

/// <summary>Reads and writes rule books. Strict: an unknown or repeated member is an error, since a misspelt limit would limit nothing.</summary>
public static class RuleBookReader
{
    /// <summary>8: so many problems are told at once; more are noise.</summary>
    private const int MostProblems = 8;

    private static readonly JsonSerializerOptions Indented = MakeIndented();

    /// <summary>Reads a book from JSON text, or says what is wrong with it: codes <c>rule-book-unreadable</c> and <c>rule-book-invalid</c>.</summary>
    public static Outcome<RuleBook> Read(string json)
    {
        ArgumentNullException.ThrowIfNull(json);

        // Editors put a byte order mark before a file.
        var read = ContractReader.ReadStrict<RuleBook>(json.StartsWith('\uFEFF') ? json[1..] : json);
        if (read.Value is not { } book)
            return RefusalCatalog.RuleBookUnreadable.Because($"The rule book cannot be read: {read.Problem}.");
        var problems = book.Problems().Take(MostProblems).ToList();
        return problems.Count == 0
            ? book
            : RefusalCatalog.RuleBookInvalid.Because($"The rule book does not hold together: {string.Join("; ", problems)}.");
    }

    /// <summary>The book as indented JSON that <see cref="Read"/> reads back.</summary>
    public static string Write(RuleBook book) => JsonSerializer.Serialize(book, Indented);

    private static JsonSerializerOptions MakeIndented()
    {
        var options = new JsonSerializerOptions(ContractJson.Options) { WriteIndented = true };
        options.MakeReadOnly(populateMissingResolver: true);
        return options;
    }
}
