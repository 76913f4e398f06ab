using System.CommandLine;
using GrainVision.Records.Backups;

namespace GrainVision.Cli;

/// <summary><c>grainvision rebuild</c>: on the machine that holds the data folder; the service may run.</summary>
internal static class RebuildCommand
{
    public static Command Make()
    {
        var data = new Argument<DirectoryInfo>("DATA") { Description = "The service's data folder. It is only read." };
        var to = new Option<DirectoryInfo>("--to") { Description = "Folder to make.", Required = true };
        var command = new Command("rebuild", "Makes a data folder anew whose tables hold what the log says, verifies it, and tells whether the tables it came from said the same.") { data, to };
        command.SetAction((parsed, cancel) => Task.FromResult(Run(parsed.GetValue(data)!.FullName, parsed.GetValue(to)!.FullName, cancel)));
        return command;
    }

    private static int Run(string data, string to, CancellationToken cancel)
    {
        if (!Rebuild.Make(data, to, cancel).TryGet(out var report, out var refusal))
            return Report.Fail(refusal);
        Console.Out.WriteLine($"Rebuilt: {report.Folder}");
        Console.Out.WriteLine($"Verified: {report.Verified.Entries} entries, {report.Verified.Photos} photos and pictures, head {report.Verified.Head}  {report.Verified.HeadSha256}");
        Console.Out.WriteLine(report.Original.Problem is { } problem
            ? $"The tables it came from were changed ({problem.Table}, row {problem.Row}, entry {problem.Number}): {problem.What}\n  log: {problem.Expected}\n  there: {problem.Found}"
            : "The tables it came from said the same.");
        return ExitCodes.Ok;
    }
}
