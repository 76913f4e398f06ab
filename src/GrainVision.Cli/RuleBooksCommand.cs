using System.CommandLine;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;

namespace GrainVision.Cli;

/// <summary><c>grainvision rule-books [ID]</c>: the service's rule books, or those that come with the program; one of them with the source of every limit.</summary>
internal static class RuleBooksCommand
{
    private const string Path = "/v1/rule-books";

    public static Command Make()
    {
        var id = new Argument<string?>("ID") { Description = "One book, limit by limit.", Arity = ArgumentArity.ZeroOrOne };
        var server = new ServerOptions("List the books that come with this program, without asking a service.");
        var command = new Command("rule-books", "Lists the rule books, or shows one.") { id };
        foreach (var option in server.All)
            command.Options.Add(option);
        command.SetAction(async (parsed, cancel) =>
        {
            var wanted = parsed.GetValue(id);
            var text = server.IsLocal(parsed) ? Local(wanted) : await Remote(server, parsed, wanted, cancel);
            if (!text.TryGet(out var found, out var refusal))
                return Report.Fail(refusal);
            Console.Out.Write(found);
            return ExitCodes.Ok;
        });
        return command;
    }

    private static Outcome<string> Local(string? wanted)
    {
        if (wanted is null)
            return List(RuleBookSet.Embedded.Latest.Select(b => new Line(b.Id, b.Version, b.Title)));
        return RuleBookSet.Embedded.Find(wanted).TryGet(out var book, out var refusal) ? Limits(book) : refusal;
    }

    private static async Task<Outcome<string>> Remote(ServerOptions server, ParseResult parsed, string? wanted, CancellationToken cancel)
    {
        if (!server.Connect(parsed).TryGet(out var client, out var refusal))
            return refusal;
        using (client)
        {
            if (!(await client.Get(wanted is null ? Path : $"{Path}/{Uri.EscapeDataString(wanted)}", cancel)).TryGet(out var json, out refusal))
                return refusal;
            if (wanted is null)
                return List(JsonSerializer.Deserialize<Line[]>(json, ContractJson.Options)!);
            return RuleBookReader.Read(json).TryGet(out var book, out refusal) ? Limits(book) : refusal;
        }
    }

    private static string List(IEnumerable<Line> books) => string.Concat(books.Select(b => $"{b.Id,-26} v{b.Version}  {b.Title}\n"));

    private static string Limits(RuleBook book) =>
        $"{book.Title} (version {book.Version}), for {book.Use}\n{book.ApprovedData}\n\n"
        + string.Concat(book.Limits.Select(l => $"{l.Id}: {l.Text}\n    source: {l.Source}\n"));

    /// <summary>One line of the service's list.</summary>
    private sealed record Line(string Id, int Version, string Title);
}
