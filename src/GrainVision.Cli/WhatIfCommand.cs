using System.CommandLine;
using System.Text.Json;
using System.Text.Json.Nodes;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;

namespace GrainVision.Cli;

/// <summary><c>grainvision what-if</c>: which verdicts of the past another rule book, or the present pipeline, would change. Changes none.</summary>
internal static class WhatIfCommand
{
    public static Command Make()
    {
        var book = new Option<string?>("--rule-book") { Description = "A rule book's file (JSON), or the id of one in the service's catalogue." };
        var remeasure = new Option<bool>("--remeasure") { Description = "Measure every photo again with the service's present pipeline." };
        var species = new Option<string?>("--species") { Description = "Only this species." };
        var judgedBy = new Option<string?>("--judged-by") { Description = "Only what was judged by this rule book." };
        var server = new ServerOptions("");
        var command = new Command("what-if", "Lists the past verdicts that would change, and changes none. Exit code 0: none would; 2: some would; 1: failed.") { book, remeasure, species, judgedBy };
        foreach (var option in server.Remote)
            command.Options.Add(option);
        command.SetAction(async (parsed, cancel) =>
        {
            var request = new JsonObject { ["remeasure"] = parsed.GetValue(remeasure), ["species"] = parsed.GetValue(species), ["judgedBy"] = parsed.GetValue(judgedBy) };
            foreach (var missing in request.Where(m => m.Value is null).Select(m => m.Key).ToList())
                request.Remove(missing);
            try
            {
                if (parsed.GetValue(book) is { } named)
                    request["ruleBook"] = File.Exists(named) ? JsonNode.Parse(await File.ReadAllTextAsync(named, cancel)) : new JsonObject { ["id"] = named };
            }
            catch (JsonException)
            {
                return Report.Fail(RefusalCatalog.RuleBookUnreadable.Because("The rule book's file is not JSON.", "Give a rule book as grainvision rule-books shows it."));
            }

            if (!server.Connect(parsed).TryGet(out var client, out var refusal))
                return Report.Fail(refusal);
            using (client)
                return await Run(client, request, cancel);
        });
        return command;
    }

    private static async Task<int> Run(ServiceClient client, JsonObject request, CancellationToken cancel)
    {
        var (looked, changed, pieces) = (0, 0, 0);
        while (true)
        {
            if (!(await client.Post("/v1/what-if", request.ToJsonString(), cancel)).TryGet(out var text, out var refusal))
                return Report.Fail(refusal);
            var page = JsonSerializer.Deserialize<Answer>(text, ContractJson.Options)!;
            foreach (var change in page.Changed)
            {
                Console.Out.WriteLine($"{change.Measurement}  {change.Recorded ?? "no verdict"} ({change.RecordedBy ?? "no rule book"}) -> {change.Now ?? change.Refused}");
                foreach (var reason in change.Because)
                    Console.Out.WriteLine($"    {reason}");
            }

            foreach (var piece in page.Pieces)
            {
                Console.Out.WriteLine($"piece {piece.Piece}  {piece.ByRule} ({piece.JudgedBy}{(piece.Decided is { } decided ? $"; on record {decided}" : "")}) -> {piece.Now}");
                foreach (var reason in piece.Because)
                    Console.Out.WriteLine($"    {reason}");
            }

            (looked, changed) = (looked + page.Looked, changed + page.Changed.Count);
            pieces += page.Pieces.Count;
            if (page.After is not { } after)
                break;
            request["after"] = after;
        }

        Console.Out.WriteLine($"{changed} of {looked} verdicts would change{(pieces > 0 ? $", and {pieces} on pieces" : "")}; none was changed.");
        return changed + pieces == 0 ? ExitCodes.Ok : ExitCodes.Hold;
    }

    private sealed record Answer(int Looked, IReadOnlyList<Change> Changed, long? After)
    {
        public IReadOnlyList<PieceChange> Pieces { get; init; } = [];
    }

    private sealed record PieceChange(string Piece, string JudgedBy, string ByRule, string Now, string? Decided, IReadOnlyList<string> Because);

    private sealed record Change(string Measurement, string? RecordedBy, string? Recorded, string? Now, string? Refused, IReadOnlyList<string> Because);
}
