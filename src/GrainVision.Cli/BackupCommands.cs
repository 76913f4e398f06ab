using System.CommandLine;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Backups;

namespace GrainVision.Cli;

/// <summary><c>grainvision backup</c> and <c>restore</c>: on the machine that holds the data folder; the service may run during a backup.</summary>
internal static class BackupCommands
{
    public static Command Make()
    {
        var data = new Argument<DirectoryInfo>("DATA") { Description = "The service's data folder." };
        var to = new Option<DirectoryInfo>("--to") { Description = "Folder to make.", Required = true };
        var links = new Option<bool>("--hard-links") { Description = "Link photos instead of copying them where both lie on one disk: quick, but no help when the disk fails." };
        var command = new Command("backup", "Copies the records while the service runs, and verifies the copy: chain and every photo.") { data, to, links };
        command.SetAction((parsed, cancel) => Task.FromResult(
            End("Backed up", Backup.Make(parsed.GetValue(data)!.FullName, parsed.GetValue(to)!.FullName, parsed.GetValue(links), cancel))));
        return command;
    }

    public static Command Restore()
    {
        var backup = new Argument<DirectoryInfo>("BACKUP") { Description = "A folder that grainvision backup made." };
        var to = new Option<DirectoryInfo>("--to") { Description = "The data folder. What is there is moved aside, never deleted.", Required = true };
        var checkpoints = new Option<FileInfo[]>("--checkpoint") { Description = "Signed checkpoints: the backup must reach at least as far.", AllowMultipleArgumentsPerToken = true };
        var key = new Option<FileInfo?>("--public-key") { Description = "The shop's public key (PEM)." };
        var command = new Command("restore", "Verifies a backup, then puts it in the place of the data folder. Stop the service first.") { backup, to, checkpoints, key };
        command.SetAction((parsed, cancel) => Task.FromResult(
            Checkpoints.Read(parsed.GetValue(checkpoints) ?? [], parsed.GetValue(key)).TryGet(out var held, out var refusal)
                ? End("Restored", Backup.Restore(parsed.GetValue(backup)!.FullName, parsed.GetValue(to)!.FullName, held, TimeProvider.System.GetUtcNow(), cancel))
                : Report.Fail(refusal)));
        return command;
    }

    private static int End(string done, Outcome<BackupReport> outcome)
    {
        if (!outcome.TryGet(out var report, out var refusal))
            return Report.Fail(refusal);
        Console.Out.WriteLine($"{done}: {report.Folder}");
        Console.Out.WriteLine($"Verified: {report.Verified.Entries} entries, {report.Verified.Photos} photos and pictures, head {report.Verified.Head}  {report.Verified.HeadSha256}");
        if (report.Before is { } before)
            Console.Out.WriteLine($"What was there before: {before}");
        return ExitCodes.Ok;
    }
}
