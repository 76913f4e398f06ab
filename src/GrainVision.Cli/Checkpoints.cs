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
            return RefusalCatalog.PublicKeyMissing.Because("A checkpoint proves nothing without the key that signed it.");
        foreach (var file in files)
        {
            if (!ReadText(file).TryGet(out var text, out var refusal) || !ReadText(publicKey!).TryGet(out var pem, out refusal))
                return refusal;
            if (SignedCheckpoint.Read(text) is not { } signed)
                return RefusalCatalog.CheckpointUnreadable.Because($"{file.Name} is no checkpoint.");
            try
            {
                if (!signed.IsSignedBy(pem))
                    return RefusalCatalog.CheckpointForged.Because($"{file.Name} was not signed by this key, or was changed since.");
            }
            catch (Exception e) when (e is ArgumentException or System.Security.Cryptography.CryptographicException)
            {
                return RefusalCatalog.PublicKeyUnreadable.Because($"{publicKey!.Name} holds no public key of an elliptic curve.");
            }

            read.Add(signed.Checkpoint);
        }

        return read;
    }

    public static Outcome<string> ReadText(FileInfo file) => file.Exists
        ? File.ReadAllText(file.FullName)
        : RefusalCatalog.NoSuchFile.Because($"There is no file {file.FullName}.");
}
