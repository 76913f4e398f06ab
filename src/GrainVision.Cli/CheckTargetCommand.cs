using System.CommandLine;
using System.Globalization;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring;

namespace GrainVision.Cli;

/// <summary><c>grainvision check-target PHOTO</c>: a photo of the printed check target against what was printed.</summary>
internal static class CheckTargetCommand
{
    public static Command Make()
    {
        var photo = new Argument<FileInfo>("PHOTO") { Description = "Photo of the printed check target." };
        var pitch = new Option<double?>("--pitch-mm") { Description = "Distance between the printed bands, mm, where the sheet has no marker." };
        var angle = new Option<double?>("--angle-deg") { Description = "Their angle to the block's long side, degrees, where the sheet has no marker." };
        var line = new Option<double?>("--check-line-mm") { Description = "The printed 100 mm line as your steel rule shows it: the only thing that shows a scaled print." };
        var scale = new Option<string>("--scale") { Description = "card, or a steel rule laid on the sheet: rule-mm, rule-inch.", DefaultValueFactory = _ => "card" };
        scale.AcceptOnlyFromAmong("card", "rule-mm", "rule-inch");
        var json = new Option<bool>("--json") { Description = "Print the measurement as JSON." };
        var server = new ServerOptions("Measure in this process; nothing is recorded.");
        var command = new Command("check-target", "Checks printing, camera and measuring with a photo of the printed check target. Exit code 0: every line passes; 2: one does not; 1: refused or failed.") { photo, pitch, angle, line, scale, json };
        foreach (var option in server.All)
            command.Options.Add(option);

        command.SetAction(async (parsed, cancel) =>
        {
            var file = parsed.GetValue(photo)!;
            if (!file.Exists)
                return Report.Fail(RefusalCatalog.NoSuchFile.Because($"There is no file {file.FullName}."));
            var request = new MeasuringRequest
            {
                View = View.End,
                Scale = parsed.GetValue(scale) switch { "rule-mm" => new SteelRuleScale(SteelRuleUnit.Mm), "rule-inch" => new SteelRuleScale(SteelRuleUnit.Inch), _ => new CardScale() },
                CheckTarget = new CheckTargetRequest(parsed.GetValue(pitch), parsed.GetValue(angle), parsed.GetValue(line)),
            };
            var bytes = await File.ReadAllBytesAsync(file.FullName, cancel);
            var outcome = server.IsLocal(parsed)
                ? await MeasureCommand.Local(bytes, request, null, cancel)
                : await MeasureCommand.Remote(bytes, file.Name, request, null, server, parsed, cancel);
            if (!outcome.TryGet(out var answer, out var refusal))
                return Report.Fail(refusal);
            if (JsonSerializer.Deserialize<Measurement>(answer, ContractJson.Options)?.CheckTarget is not { } target)
                return Report.Fail(RefusalCatalog.CheckTargetNotCompared.Because("The service measured the photo but compared nothing: it does not know check targets."));
            Console.Out.Write(parsed.GetValue(json) ? answer + "\n" : Table(target));
            return target.Ok ? ExitCodes.Ok : ExitCodes.Hold;
        });
        return command;
    }

    private static string Table(CheckTargetFinding target)
    {
        var text = new StringBuilder();
        text.AppendLine(CultureInfo.InvariantCulture, $"{(target.Ok ? "PASS" : target.IsOpen ? "CANNOT TELL" : "FAIL")}  bands every {target.PitchMm} mm at {target.AngleDegrees} degrees, {(target.Recognised ? "as the sheet's marker says" : "as stated")}");
        foreach (var line in target.Lines)
        {
            var measured = line.Measured is { } m ? string.Create(CultureInfo.InvariantCulture, $"measured {m.Value:0.00} ({m.Low:0.00} to {m.High:0.00}), off by {line.Difference:+0.00;-0.00;0.00}") : "not measured";
            text.AppendLine(CultureInfo.InvariantCulture, $"  {(line.Ok ? "pass" : line.Open ? "open" : "FAIL")}  {Name(line.What),-18} printed {line.Printed:0.00}, {measured}, allowed {line.Tolerance:0.00}");
            if (line.Advice is { } advice)
                text.AppendLine($"        {advice}");
        }

        return text.AppendLine(target.Note).ToString();
    }

    private static string Name(string what) => what switch
    {
        "blockLengthMm" => "block length, mm",
        "blockHeightMm" => "block height, mm",
        "ringsPerInch" => "rings per inch",
        "ringAngleDegrees" => "ring angle, deg",
        "checkLineMm" => "check line, mm",
        _ => what,
    };
}
