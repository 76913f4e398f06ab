using GrainVision.Grading.Refusals;
using GrainVision.Records.Log;

namespace GrainVision.Cli;

/// <summary>Checkpoint files whose signature is good.</summary>
internal static class Checkpoints
{
    public static Outcome<IReadOnlyList<Checkpoint>> Read(IReadOnlyList<FileInfo> files, FileInfo? publicKey)
    {
        var read = new List<Checkpoint>();
        if (files.Count > 0 && publicKey is null)
            return new Refusal("public-key-missing", "request", 400, "A checkpoint proves nothing without the key that signed it.", "Give the shop's public key with --public-key.");
        foreach (var file in files)
        {
            if (!ReadText(file).TryGet(out var text, out var refusal) || !ReadText(publicKey!).TryGet(out var pem, out refusal))
                return refusal;
            if (SignedCheckpoint.Read(text) is not { } signed)
                return new Refusal("checkpoint-unreadable", "request", 400, $"{file.Name} is no checkpoint.", "Give a file that 'grainvision checkpoint sign' wrote.");
            try
            {
                if (!signed.IsSignedBy(pem))
                    return new Refusal("checkpoint-forged", "request", 400, $"{file.Name} was not signed by this key, or was changed since.", "Check that it is the shop's public key and the file as it was kept.");
            }
            catch (Exception e) when (e is ArgumentException or System.Security.Cryptography.CryptographicException)
            {
                return new Refusal("public-key-unreadable", "request", 400, $"{publicKey!.Name} holds no public key of an elliptic curve.", "Give the .public.pem that 'grainvision checkpoint new-key' wrote.");
            }

            read.Add(signed.Checkpoint);
        }

        return read;
    }

    public static Outcome<string> ReadText(FileInfo file) => file.Exists
        ? File.ReadAllText(file.FullName)
        : new Refusal("no-such-file", "request", 404, $"There is no file {file.FullName}.", "Check the path.");
}
