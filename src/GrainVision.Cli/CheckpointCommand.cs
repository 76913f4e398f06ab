using System.CommandLine;
using System.Security.Cryptography;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Log;

namespace GrainVision.Cli;

/// <summary>
/// <c>grainvision checkpoint</c>: makes the shop's key, signs how the log stands, checks a signature. The private key stays with the shop; keep checkpoints where who
/// can change the records cannot change them: on paper, by mail, with the inspector.
/// </summary>
internal static class CheckpointCommand
{
    public static Command Make() => new("checkpoint", "Signed checkpoints of the log, to be kept away from it.") { NewKey(), Sign(), Verify() };

    private static Command NewKey()
    {
        var name = new Argument<string>("NAME") { Description = "Writes NAME.private.pem (keep it to yourself) and NAME.public.pem (give it away)." };
        var command = new Command("new-key", "Makes a pair of keys (ECDSA P-256).") { name };
        command.SetAction(parsed =>
        {
            var (secret, open) = (parsed.GetValue(name)! + ".private.pem", parsed.GetValue(name)! + ".public.pem");
            if (File.Exists(secret) || File.Exists(open))
                return Report.Fail(RefusalCatalog.FileThere.Because($"{secret} or {open} is there already."));
            var (secretPem, openPem) = SignedCheckpoint.NewKey();
            var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
            if (!OperatingSystem.IsWindows())
                options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite; // never readable by others, not even for a moment
            using (var writer = new StreamWriter(secret, options))
                writer.Write(secretPem + "\n");
            File.WriteAllText(open, openPem + "\n");
            Console.Out.WriteLine($"{secret}: keep it to yourself, away from the service.\n{open}: give it to whoever verifies.");
            return ExitCodes.Ok;
        });
        return command;
    }

    private static Command Sign()
    {
        var log = LogSource.Argument();
        var key = new Option<FileInfo>("--key") { Description = "The shop's private key (PEM).", Required = true };
        var to = new Option<FileInfo>("--out") { Description = "File to write the checkpoint to.", Required = true };
        var earlier = new Option<FileInfo[]>("--after") { Description = "Earlier checkpoints: the log must still agree with them.", AllowMultipleArgumentsPerToken = true };
        var publicKey = new Option<FileInfo?>("--public-key") { Description = "The shop's public key, for the earlier checkpoints." };
        var apiKey = LogSource.KeyOption();
        var command = new Command("sign", "Verifies the whole log and signs its head.") { log, key, to, earlier, publicKey, apiKey };
        command.SetAction(async (parsed, cancel) =>
        {
            if (!Checkpoints.Read(parsed.GetValue(earlier) ?? [], parsed.GetValue(publicKey)).TryGet(out var held, out var refusal)
                || !Checkpoints.ReadText(parsed.GetValue(key)!).TryGet(out var pem, out refusal))
                return Report.Fail(refusal);
            var verifier = new LogVerifier(held);
            if (await LogSource.ReadLines(parsed.GetValue(log)!, parsed.GetValue(apiKey), verifier.AddLine, cancel) is { } unread)
                return Report.Fail(unread);
            var found = verifier.Finish();
            if (!found.IsWhole || found.Head == 0)
            {
                Console.Out.Write(found.IsWhole ? "The log is empty: there is nothing to sign.\n" : VerifyLogCommand.Text(found, false, false));
                return ExitCodes.Failed;
            }

            try
            {
                var signed = SignedCheckpoint.Sign(Checkpoint.From(found, TimeProvider.System.GetUtcNow()), pem);
                await File.WriteAllTextAsync(parsed.GetValue(to)!.FullName, signed.Write(), cancel);
                Console.Out.WriteLine($"Signed: entry {found.Head}  {found.HeadSha256}\nKeep {parsed.GetValue(to)!.Name} away from the records.");
                return ExitCodes.Ok;
            }
            catch (Exception e) when (e is ArgumentException or CryptographicException)
            {
                return Report.Fail(RefusalCatalog.KeyUnreadable.Because("The file given with --key holds no private key of an elliptic curve."));
            }
        });
        return command;
    }

    private static Command Verify()
    {
        var file = new Argument<FileInfo>("CHECKPOINT") { Description = "A file that 'checkpoint sign' wrote." };
        var key = new Option<FileInfo>("--public-key") { Description = "The shop's public key (PEM).", Required = true };
        var command = new Command("verify", "Checks a checkpoint's signature.") { file, key };
        command.SetAction(parsed =>
        {
            if (!Checkpoints.Read([parsed.GetValue(file)!], parsed.GetValue(key)).TryGet(out var read, out var refusal))
                return Report.Fail(refusal);
            Console.Out.WriteLine($"Signature good: entry {read[0].Number}  {read[0].Sha256}  made {read[0].At}");
            return ExitCodes.Ok;
        });
        return command;
    }
}
