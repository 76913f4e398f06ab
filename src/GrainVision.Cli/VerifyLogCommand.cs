using System.CommandLine;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Log;
using GrainVision.Records.Photos;

namespace GrainVision.Cli;

/// <summary><c>grainvision verify-log LOG</c>: checks a log without trusting the service, and without any native library.</summary>
internal static class VerifyLogCommand
{
    public static Command Make()
    {
        var log = LogSource.Argument();
        var photos = new Option<DirectoryInfo?>("--photos") { Description = "Folder with the photos and pictures (a data folder, a backup or an audit pack): check their hashes too." };
        var pictures = new Option<DirectoryInfo?>("--pictures") { Description = "The same of the pictures alone: for an audit pack without photos." };
        var checkpoints = new Option<FileInfo[]>("--checkpoint") { Description = "A signed checkpoint kept elsewhere; may be given more than once.", AllowMultipleArgumentsPerToken = true };
        var key = new Option<FileInfo?>("--public-key") { Description = "The shop's public key (PEM), for the checkpoints' signatures." };
        var extract = new Option<bool>("--extract") { Description = "LOG is a part of a log, such as that of an audit pack." };
        var apiKey = LogSource.KeyOption();
        var command = new Command("verify-log", "Verifies a log: chain, photos, checkpoints; of a service also whether its tables say what its log says. Exit code 0: whole; 1: not, or it could not be read.")
        {
            log, photos, pictures, checkpoints, key, extract, apiKey,
        };
        command.SetAction(async (parsed, cancel) =>
        {
            if (!Checkpoints.Read(parsed.GetValue(checkpoints) ?? [], parsed.GetValue(key)).TryGet(out var held, out var refusal))
                return Report.Fail(refusal);
            var (all, alone) = (parsed.GetValue(photos), parsed.GetValue(pictures));
            if ((all is { Exists: false } ? all : alone is { Exists: false } ? alone : null) is { } missing)
                return Report.Fail(RefusalCatalog.NoSuchFolder.Because($"There is no folder {missing.FullName}.", "Check --photos and --pictures."));
            var verifier = new LogVerifier(held, ProblemIn(all), parsed.GetValue(extract), ProblemIn(alone));
            if (await LogSource.ReadLines(parsed.GetValue(log)!, parsed.GetValue(apiKey), verifier.AddLine, cancel) is { } unread)
                return Report.Fail(unread);
            var found = verifier.Finish();
            if (found.IsWhole && await LogSource.AskForTables(parsed.GetValue(log)!, parsed.GetValue(apiKey), cancel) is { } asked)
            {
                if (!asked.TryGet(out var tables, out refusal))
                    return Report.Fail(refusal);
                if (!tables.IsWhole)
                    found = tables;
            }

            Console.Out.Write(Text(found, parsed.GetValue(extract), all is not null, alone is not null));
            return found.IsWhole ? ExitCodes.Ok : ExitCodes.Failed;
        });
        return command;
    }

    private static Func<string, string?>? ProblemIn(DirectoryInfo? folder) => folder is null ? null : new PhotoFolder(folder.FullName).Problem;

    internal static string Text(LogVerification found, bool extract, bool withPhotos, bool withPictures = false)
    {
        if (found.Problem is { } problem)
        {
            return $"NOT WHOLE  first bad entry: {problem.Number}{(problem.Line > 0 ? $" (line {problem.Line})" : "")}\n{problem.What}\n"
                + (problem.Expected is null ? "" : $"  expected  {problem.Expected}\n  found     {problem.Found}\n")
                + $"Entries before it that are good: {found.Entries}\n";
        }

        var what = extract
            ? $"WHOLE      entries {found.First} to {found.Head}: {found.Entries} shown, {found.Withheld} withheld (only their place in the chain is proven)\n"
            : $"WHOLE      {found.Entries} entries\n";
        return what + $"Head       {found.Head}  {found.HeadSha256}\n"
            + (withPhotos ? $"Photos     {found.Photos} photos and pictures have their recorded hashes\n" 
                : withPictures ? $"Pictures   {found.Photos} pictures have their recorded hashes; photos not checked\n"
                : "Photos     not checked (--photos FOLDER)\n")
            + (found.Checkpoints > 0
                ? $"Checkpoint {found.Checkpoints} agreed with, signatures good\n"
                : "Checkpoint none given: a cut tail, an older state put back or a log rewritten throughout would not show. Compare the head with a checkpoint kept elsewhere.\n");
    }
}
