using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;

namespace GrainVision.Grading.Rules;

/// <summary>Reads and writes rule books. Strict: an unknown or repeated member is an error, since a misspelt limit would limit nothing.</summary>
public static class RuleBookReader
{
    /// <summary>8: so many problems are told at once; more are noise.</summary>
    private const int MostProblems = 8;

    private static readonly JsonSerializerOptions Strict = MakeOptions();

    /// <summary>Reads a book from JSON text. See <see cref="Read(ReadOnlySpan{byte})"/>.</summary>
    public static Outcome<RuleBook> Read(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        return Read(Encoding.UTF8.GetBytes(json));
    }

    /// <summary>Reads a book from UTF-8 JSON, or says what is wrong with it: codes <c>rule-book-unreadable</c> and <c>rule-book-invalid</c>.</summary>
    public static Outcome<RuleBook> Read(ReadOnlySpan<byte> utf8Json)
    {
        if (utf8Json.StartsWith("\uFEFF"u8))
            utf8Json = utf8Json[3..];
        RuleBook? book;
        try
        {
            book = JsonSerializer.Deserialize<RuleBook>(utf8Json, Strict);
        }
        catch (JsonException e)
        {
            return Unreadable(e);
        }
        catch (NotSupportedException)
        {
            return RefusalCatalog.RuleBookUnreadable.Because("A limit of the rule book has no kind.", "Give every limit a \"kind\" from the rule-book schema.");
        }

        if (book is null)
            return RefusalCatalog.RuleBookUnreadable.Because("The rule book is null.", "Send a rule book that follows the rule-book schema.");
        var problems = book.Problems().Take(MostProblems).ToList();
        return problems.Count == 0
            ? book
            : RefusalCatalog.RuleBookInvalid.Because($"The rule book does not hold together: {string.Join("; ", problems)}.");
    }

    /// <summary>The book as indented JSON that <see cref="Read(string)"/> reads back.</summary>
    public static string Write(RuleBook book) => JsonSerializer.Serialize(book, Strict);

    private static Refusal Unreadable(JsonException e)
    {
        var place = $"{(string.IsNullOrEmpty(e.Path) ? "$" : e.Path)}, line {(e.LineNumber ?? 0) + 1}";
        return RefusalCatalog.RuleBookUnreadable.Because($"The rule book cannot be read at {place}: {Why(e.Message)}.");
    }

    // The serializer's own words name our types: say the same without them.
    private static string Why(string message)
    {
        const string missing = "including: ";
        if (message.Contains("could not be mapped", StringComparison.Ordinal))
            return "it has a member that is not in the schema";
        if (message.IndexOf(missing, StringComparison.Ordinal) is var at and >= 0)
            return $"members are missing: {message[(at + missing.Length)..].Split(". ", 2)[0].TrimEnd('.')}";
        if (message.Contains("discriminator", StringComparison.Ordinal))
            return "its kind is not in the schema";
        return message.Contains("uplicate", StringComparison.Ordinal) ? "a member is given twice" : "it is not what the schema asks for here";
    }

    private static JsonSerializerOptions MakeOptions()
    {
        var options = new JsonSerializerOptions();
        ContractJson.Apply(options);
        options.UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow;
        options.AllowDuplicateProperties = false;
        options.RespectNullableAnnotations = true;
        options.RespectRequiredConstructorParameters = true;
        options.WriteIndented = true;
        options.MakeReadOnly(populateMissingResolver: true);
        return options;
    }
}
