using System.Text.Json;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Service.Http;
using Json.Schema;

namespace GrainVision.Service.RuleBooks;

/// <summary>Rule books: read, and new versions of the shop's own.</summary>
internal static class RuleBookEndpoints
{
    /// <summary>1 MB: the embedded books are some 15 KB each.</summary>
    private const int MostBytes = 1_000_000;

    private static readonly Lazy<JsonSchema> Schema = new(() => JsonSchema.FromText(RuleBookSet.Schema));

    public static void MapRuleBooks(this WebApplication app)
    {
        var group = app.MapGroup("/v1/rule-books").WithTags("Rule books");
        group.MapGet("", (RuleBookCatalog catalog) => Answer.Json(catalog.Books.Latest.Select(RuleBookLine.From)))
            .WithName("ListRuleBooks").WithSummary("The newest version of every rule book.").Produces<IReadOnlyList<RuleBookLine>>();
        group.MapGet("schema", () => Results.Text(RuleBookSet.Schema, "application/schema+json"))
            .WithName("RuleBookSchema").WithSummary("JSON Schema (draft 2020-12) of a rule book.");
        group.MapGet("{id}", (string id, RuleBookCatalog catalog) => catalog.Books.Find(id).TryGet(out var book, out var refusal) ? Book(book) : Problems.From(refusal))
            .WithName("GetRuleBook").WithSummary("One rule book with the source of every limit.").ProducesProblems(404);
        group.MapPut("{id}", Put).WithName("PutRuleBook").WithSummary("Adds a new version; earlier versions stay as they are.")
            .Accepts<RuleBook>("application/json").ProducesProblems(400, 409, 413, 422);
    }

    private static async Task<IResult> Put(string id, HttpContext http, RuleBookCatalog catalog, TimeProvider time)
    {
        if (!(await JsonBody.ReadText(http, MostBytes)).TryGet(out var json, out var refusal))
            return Problems.From(refusal);
        if (AgainstSchema(json) is { } wrong)
            return Problems.From(wrong);
        if (!RuleBookReader.Read(json).TryGet(out var book, out refusal))
            return Problems.From(refusal);
        if (book.Id != id)
        {
            return Problems.From(RefusalCatalog.RuleBookIdDiffers.Because($"The address names '{id}', the book says '{book.Id}'."));
        }

        return catalog.Add(book, Caller.NameOf(http), time.GetUtcNow()).TryGet(out var added, out refusal) ? Book(added) : Problems.From(refusal);
    }

    private static Refusal? AgainstSchema(string json)
    {
        JsonDocument document;
        try
        {
            document = JsonDocument.Parse(json);
        }
        catch (JsonException)
        {
            return RefusalCatalog.RuleBookUnreadable.Because("The body is not JSON.", "Send the rule book as JSON; GET /v1/rule-books/schema says how.");
        }

        using (document)
        {
            var result = Schema.Value.Evaluate(document.RootElement, new EvaluationOptions { OutputFormat = OutputFormat.List });
            if (result.IsValid)
                return null;
            var first = result.Details?.FirstOrDefault(d => d.Errors is { Count: > 0 });
            var where = first is null ? "" : $" at {first.InstanceLocation}: {string.Join("; ", first.Errors!.Values)}";
            return RefusalCatalog.RuleBookInvalid.Because($"The rule book does not follow its schema{where}.", "Correct it; GET /v1/rule-books/schema says how.");
        }
    }

    private static IResult Book(RuleBook book) => Answer.Written(RuleBookReader.Write(book));

    /// <summary>One line of the list.</summary>
    internal sealed record RuleBookLine(string Id, int Version, string Use, string Title)
    {
        public static RuleBookLine From(RuleBook book) => new(book.Id, book.Version, book.Use, book.Title);
    }
}
