using System.CommandLine;
using GrainVision.Grading.Rules;

namespace GrainVision.Cli;

/// <summary><c>grainvision rule-books [ID]</c>: the rule books that come with the program, with the source of every limit.</summary>
internal static class RuleBooksCommand
{
    public static Command Make()
    {
        var id = new Argument<string?>("ID") { Description = "One book, limit by limit.", Arity = ArgumentArity.ZeroOrOne };
        var command = new Command("rule-books", "Lists the rule books that come with the program.") { id };
        command.SetAction(parsed =>
        {
            if (parsed.GetValue(id) is not { } wanted)
            {
                foreach (var book in RuleBooks.Embedded.Latest)
                    Console.WriteLine($"{book.Id,-26} v{book.Version}  {book.Title}");
                return ExitCodes.Ok;
            }

            if (!RuleBooks.Embedded.Find(wanted).Is(out var found, out var refusal))
            {
                Console.Error.WriteLine($"{refusal.Message}\n{refusal.Advice}");
                return ExitCodes.Failed;
            }

            Console.WriteLine($"{found.Title} (version {found.Version}), for {found.Use}\n{found.ApprovedData}\n");
            foreach (var limit in found.Limits)
                Console.WriteLine($"{limit.Id}: {limit.Text}\n    source: {limit.Source}");
            return ExitCodes.Ok;
        });
        return command;
    }
}
