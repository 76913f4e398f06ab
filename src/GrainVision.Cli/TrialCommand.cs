using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Trials;
using GrainVision.Measuring;
using GrainVision.Presentation.Trials;

namespace GrainVision.Cli;

/// <summary><c>grainvision trial FOLDER --by-hand hand.csv</c>: a shop's own proof, pieces measured by hand and photographed.</summary>
internal static class TrialCommand
{
    public static Command Make()
    {
        var folder = new Argument<DirectoryInfo>("FOLDER") { Description = "One folder a piece in it, named as in the table; photos in them start with end or face (end-1.jpg, face-2.jpg)." };
        var byHand = new Option<FileInfo>("--by-hand") { Description = "Table (CSV): piece,quantity,value,unit,plusMinus; quantities: " + string.Join(", ", HandReading.Quantities) + ".", Required = true };
        var by = new Option<string>("--by") { Description = "Who measured by hand.", Required = true };
        var page = new Option<FileInfo?>("--page") { Description = "Save the page with the plots here (HTML)." };
        var json = new Option<FileInfo?>("--json") { Description = "Save the comparison here (JSON)." };
        var what = new MeasureOptions();
        var server = new ServerOptions("Measure in this process; nothing is put on record.");
        var command = new Command("trial", "Compares measurements by hand with photos of the same pieces: bias, limits of agreement, repeatability, how often the intervals hold. Exit code 0: compared; 1: failed.")
        {
            folder, byHand, by, page, json,
        };
        foreach (var option in what.OfEveryPhoto.Concat(server.All))
            command.Options.Add(option);
        command.SetAction(async (parsed, cancel) =>
        {
            var (request, problem) = what.Read(parsed);
            if (request is null)
                return Report.Fail(RefusalCatalog.BadOption.Because(problem!, "See grainvision trial --help."));
            var table = parsed.GetValue(byHand)!;
            if (!table.Exists)
                return Report.Fail(RefusalCatalog.NoSuchFile.Because($"There is no file {table.FullName}."));
            if (!HandReading.ReadTable(await File.ReadAllTextAsync(table.FullName, cancel)).TryGet(out var readings, out var refusal)
                || !TrialFolder.Photos(parsed.GetValue(folder)!).TryGet(out var photos, out refusal))
                return Report.Fail(refusal);
            var outcome = server.IsLocal(parsed)
                ? await Local(readings, photos, request, parsed.GetValue(by)!, cancel)
                : await Remote(readings, photos, request, parsed.GetValue(by)!, server, parsed, cancel);
            if (!outcome.TryGet(out var compared, out refusal))
                return Report.Fail(refusal);
            Console.Out.Write(InWords(compared));
            if (parsed.GetValue(page) is { } pageFile)
                await File.WriteAllTextAsync(pageFile.FullName, compared.Page, cancel);
            if (parsed.GetValue(json) is { } jsonFile)
                await File.WriteAllTextAsync(jsonFile.FullName, JsonSerializer.Serialize(compared.Report, ContractJson.Options) + "\n", cancel);
            return ExitCodes.Ok;
        });
        return command;
    }

    private static async Task<Outcome<Compared>> Local(IReadOnlyList<HandReading> readings, IReadOnlyList<PieceFile> files, MeasuringRequest request, string by, CancellationToken cancel)
    {
        var progress = new ProgressLine(Console.Error);
        var photos = new List<TrialPhoto>();
        foreach (var file in files)
        {
            progress.Show("measuring", photos.Count, files.Count);
            var outcome = await MeasureCommand.Local(await File.ReadAllBytesAsync(file.Path, cancel), request with { View = file.View }, save: null, cancel);
            photos.Add(new TrialPhoto(file.Piece, file.Name, outcome.Found is { } answer ? Read(answer) : null, outcome.Refusal?.Code));
        }

        progress.Clear();
        var report = Trial.Compare(readings, photos);
        return new Compared(report, TrialPage.Write(report, by, TimeProvider.System.GetUtcNow()), null);
    }

    private static async Task<Outcome<Compared>> Remote(
        IReadOnlyList<HandReading> readings, IReadOnlyList<PieceFile> files, MeasuringRequest request, string by, ServerOptions server, ParseResult parsed, CancellationToken cancel)
    {
        if (!server.Connect(parsed).TryGet(out var client, out var refusal))
            return refusal;
        using var connected = client;
        var progress = new ProgressLine(Console.Error);
        var photos = new List<object>();
        foreach (var file in files)
        {
            progress.Show("measuring", photos.Count, files.Count);
            var asked = JsonSerializer.Serialize(request with { View = file.View }, ContractJson.Options);
            var outcome = await client.Measure(await File.ReadAllBytesAsync(file.Path, cancel), file.Name, asked, cancel);
            if (outcome.Refusal is { Fate: not (RefusalFate.BadRequest or RefusalFate.Unprocessable) } ours)
                return ours;
            photos.Add(new { file.Piece, Photo = file.Name, Measurement = outcome.Found is { } answer ? Read(answer).Id : null, Refused = outcome.Refusal?.Code });
        }

        progress.Clear();
        var body = JsonSerializer.Serialize(new { by, byHand = readings, photos }, ContractJson.Options);
        if (!(await client.Post("/v1/trials", body, cancel)).TryGet(out var entered, out refusal))
            return refusal;
        var trial = JsonSerializer.Deserialize<Entered>(entered, ContractJson.Options)!;
        return (await client.Get(trial.Page, cancel)).TryGet(out var page, out refusal) ? new Compared(trial.Report, page, trial.Entry) : refusal;
    }

    private static Measurement Read(string answer) => JsonSerializer.Deserialize<Measurement>(answer, ContractJson.Options)!;

    private static string InWords(Compared compared)
    {
        var lines = new List<string> { string.Create(CultureInfo.InvariantCulture, $"{compared.Report.Pieces} pieces, {compared.Report.Photos} photos, {compared.Report.Refused.Values.Sum()} refused{(compared.Entry is { } n ? $"; entry {n} of the log" : "")}.") };
        foreach (var a in compared.Report.Quantities)
        {
            lines.Add(string.Create(CultureInfo.InvariantCulture, $"{a.Quantity} ({a.Unit}): given {a.Given} of {a.Photos}")
                + (a is { Bias: { } bias, LowerLimit: { } low, UpperLimit: { } high }
                    ? $", bias {Signed(bias.Value)} ({Signed(bias.Low)} to {Signed(bias.High)}), limits of agreement {Signed(low.Value)} to {Signed(high.Value)}"
                    : ", too few pieces to say how they agree")
                + string.Create(CultureInfo.InvariantCulture, $", intervals hold {a.IntervalsHold} of {a.Given}."));
        }

        return string.Join('\n', lines) + "\n";
    }

    private static string Signed(double value) => value.ToString("+0.00;-0.00;0.00", CultureInfo.InvariantCulture);

    private sealed record Compared(TrialReport Report, string Page, long? Entry);

    private sealed record Entered(long Entry, TrialReport Report, string Page);
}
