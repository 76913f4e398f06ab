using System.CommandLine;

namespace GrainVision.Cli;

/// <summary><c>grainvision export-log SERVICE --out FILE</c>: the whole log as JSON lines.</summary>
internal static class ExportLogCommand
{
    public static Command Make()
    {
        var log = LogSource.Argument();
        var to = new Option<FileInfo>("--out") { Description = "File to write.", Required = true };
        var apiKey = LogSource.KeyOption();
        var command = new Command("export-log", "Writes the log of a service to a file, a line an entry.") { log, to, apiKey };
        command.SetAction(async (parsed, cancel) =>
        {
            var lines = 0L;
            await using var writer = new StreamWriter(parsed.GetValue(to)!.FullName) { NewLine = "\n" };
            var unread = await LogSource.ReadLines(
                parsed.GetValue(log)!, parsed.GetValue(apiKey), line => { writer.WriteLine(line); return ++lines > 0; }, cancel);
            if (unread is not null)
                return Report.Fail(unread);
            Console.Out.WriteLine($"{lines} entries in {parsed.GetValue(to)!.Name}");
            return ExitCodes.Ok;
        });
        return command;
    }
}
