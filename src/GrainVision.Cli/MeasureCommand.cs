using System.CommandLine;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;

namespace GrainVision.Cli;

/// <summary><c>grainvision measure PHOTO</c>: one photo, by the service or in this process.</summary>
internal static class MeasureCommand
{
    public static Command Make()
    {
        var photo = new Argument<FileInfo>("PHOTO") { Description = "JPEG, PNG, WebP, TIFF or BMP." };
        var what = new MeasureOptions();
        var json = new Option<bool>("--json") { Description = "Print the measurement as JSON." };
        var picture = new Option<FileInfo?>("--picture") { Description = "Save the annotated picture here." };
        var server = new ServerOptions("Measure in this process; nothing is recorded.");
        var command = new Command("measure", "Measures one photo. Exit code 0: accepted or no rule book; 2: hold; 3: reject; 1: refused or failed.") { photo };
        foreach (var option in what.All.Concat([json, picture]).Concat(server.All))
            command.Options.Add(option);

        command.SetAction(async (parsed, cancel) =>
        {
            var (request, problem) = what.Read(parsed);
            if (request is null)
                return Report.Fail(RefusalCatalog.BadOption.Because(problem!, "See grainvision measure --help."));
            var file = parsed.GetValue(photo)!;
            if (!file.Exists)
                return Report.Fail(RefusalCatalog.NoSuchFile.Because($"There is no file {file.FullName}."));
            var bytes = await File.ReadAllBytesAsync(file.FullName, cancel);
            var save = parsed.GetValue(picture);
            var outcome = server.IsLocal(parsed)
                ? await Local(bytes, request, save, cancel)
                : await Remote(bytes, file.Name, request, save, server, parsed, cancel);
            if (!outcome.TryGet(out var answer, out var refusal))
                return Report.Fail(refusal);
            var measurement = JsonSerializer.Deserialize<Measurement>(answer, ContractJson.Options)!;
            Console.Out.Write(parsed.GetValue(json) ? answer + "\n" : MeasurementTable.From(measurement));
            return measurement.Verdict?.Outcome switch
            {
                VerdictOutcome.Hold => ExitCodes.Hold,
                VerdictOutcome.Reject => ExitCodes.Reject,
                _ => ExitCodes.Ok,
            };
        });
        return command;
    }

    internal static async Task<Outcome<string>> Local(byte[] bytes, MeasuringRequest request, FileInfo? save, CancellationToken cancel)
    {
        RuleBook? book = null;
        if (request.RuleBook is { } id && !RuleBookSet.Embedded.Find(id).TryGet(out book, out var unknown))
            return unknown;
        if (save is null)
            return PhotoJob.RunWithoutPicture(bytes, request, book, cancel).TryGet(out var measurement, out var noAnswer) ? Json(measurement) : noAnswer;
        if (!PhotoJob.Run(bytes, request, book, cancel).TryGet(out var measured, out var refusal))
            return refusal;
        await File.WriteAllBytesAsync(save.FullName, measured.PictureBytes, cancel);
        return Json(measured.Measurement);

        static string Json(Measurement answer) => JsonSerializer.Serialize(answer, ContractJson.Options);
    }

    internal static async Task<Outcome<string>> Remote(
        byte[] bytes, string name, MeasuringRequest request, FileInfo? save, ServerOptions server, ParseResult parsed, CancellationToken cancel)
    {
        if (!server.Connect(parsed).TryGet(out var client, out var refusal))
            return refusal;
        using var connected = client;
        var outcome = await client.Measure(bytes, name, JsonSerializer.Serialize(request, ContractJson.Options), cancel);
        if (outcome.Found is { } answer && save is not null && JsonSerializer.Deserialize<Measurement>(answer, ContractJson.Options)?.Picture is { } url)
            await File.WriteAllBytesAsync(save.FullName, await client.GetBytes(url, cancel), cancel);
        return outcome;
    }
}
