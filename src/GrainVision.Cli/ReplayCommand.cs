using System.CommandLine;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;

namespace GrainVision.Cli;

/// <summary><c>grainvision replay ID|--all</c>: the service measures recorded photos again and says whether they come out the same.</summary>
internal static class ReplayCommand
{
    public static Command Make()
    {
        var id = new Argument<string?>("ID") { Description = "Id of a measurement.", Arity = ArgumentArity.ZeroOrOne };
        var all = new Option<bool>("--all") { Description = "Every measurement on record, newest first." };
        var server = new ServerOptions("");
        var command = new Command("replay", "Measures recorded photos again. Exit code 0: all the same, byte for byte; 2: something came out differently; 1: failed.") { id, all };
        foreach (var option in server.Remote)
            command.Options.Add(option);
        command.SetAction(async (parsed, cancel) =>
        {
            var one = parsed.GetValue(id);
            if (one is null != parsed.GetValue(all))
                return Report.Fail(RefusalCatalog.BadOption.Because("Give either one id or --all.", "See grainvision replay --help."));
            if (!server.Connect(parsed).TryGet(out var client, out var refusal))
                return Report.Fail(refusal);
            using (client)
                return one is null ? await All(client, cancel) : await One(client, one, cancel);
        });
        return command;
    }

    private static async Task<int> All(ServiceClient client, CancellationToken cancel)
    {
        var worst = ExitCodes.Ok;
        for (string? after = ""; after is not null;)
        {
            if (!(await client.Get($"/v1/log?kind=measurement{after}", cancel)).TryGet(out var text, out var refusal))
                return Report.Fail(refusal);
            using var page = JsonDocument.Parse(text);
            foreach (var entry in page.RootElement.GetProperty("entries").EnumerateArray())
                worst = Math.Max(worst, await One(client, entry.GetProperty("content").GetProperty("subjects").GetProperty("measurement").GetString()!, cancel));
            after = page.RootElement.TryGetProperty("after", out var key) ? $"&after={key.GetInt64()}" : null;
        }

        return worst;
    }

    private static async Task<int> One(ServiceClient client, string id, CancellationToken cancel)
    {
        if (!(await client.Post($"/v1/measurements/{Uri.EscapeDataString(id)}/replay", "", cancel)).TryGet(out var text, out var refusal))
            return Report.Fail(refusal);
        var answer = JsonSerializer.Deserialize<Answer>(text, ContractJson.Options)!;
        Console.Out.WriteLine($"{id}  {(answer.Same ? "same" : answer.Refused is { } why ? $"REFUSED NOW  {why}" : $"DIFFERS  measurement {Word(answer.MeasurementSame)}, picture {Word(answer.PictureSame)}")}"
            + (answer.Recorded == answer.Now || answer.Refused is not null ? "" : $", verdict {answer.Recorded} -> {answer.Now}"));
        foreach (var version in answer.Versions)
            Console.Out.WriteLine($"    {version.Of}: recorded {version.Recorded ?? "unknown"}, now {version.Present}");
        foreach (var difference in answer.Differences)
            Console.Out.WriteLine($"    {difference.Path}: {difference.Recorded ?? "nothing"} -> {difference.Now ?? "nothing"}");
        return answer.Same ? ExitCodes.Ok : ExitCodes.Hold;
    }

    private static string Word(bool same) => same ? "same" : "differs";

    private sealed record Answer(
        bool Same, bool MeasurementSame, bool PictureSame, string? Recorded, string? Now, string? Refused, IReadOnlyList<Version> Versions, IReadOnlyList<Difference> Differences);

    private sealed record Version(string Of, string? Recorded, string? Present);

    private sealed record Difference(string Path, string? Recorded, string? Now);
}
