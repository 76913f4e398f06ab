using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;

namespace GrainVision.Cli;

/// <summary>A photo of a delivery, as the service answers.</summary>
internal sealed record ScannedPhoto(string Sha256, string FileName, string State, ScanProblem? Problem);

internal sealed record ScanProblem(string Code, string Why, string Advice);

/// <summary>How a scan ended.</summary>
internal sealed record ScanOutcome(string DeliveryId, int Files, int Sent, IReadOnlyList<ScannedPhoto> Photos)
{
    public IReadOnlyList<ScannedPhoto> Failures => [.. Photos.Where(p => p.State is "unsorted" or "setAside")];

    public string InWords()
    {
        var text = new StringBuilder();
        text.AppendLine($"Delivery {DeliveryId}: {Files} files, {Sent} sent now, {Photos.Count} photos, {Photos.Count(p => p.State == "measured")} measured, {Failures.Count} for a person.");
        foreach (var photo in Failures)
            text.AppendLine($"  {photo.FileName} ({(photo.State == "unsorted" ? "not sorted" : "set aside")}): {photo.Problem?.Why} {photo.Problem?.Advice}");
        return text.ToString();
    }
}

/// <summary>
/// Sends what the service has not got yet, in batches, and waits until every photo is done with. A service that is away for a while, or busy, is
/// waited for: it keeps what it has answered for.
/// </summary>
internal sealed class FolderScan(ServiceClient client, ProgressLine progress)
{
    /// <summary>20 photos of 4 MB are some 80 MB: a break costs one batch.</summary>
    private const int Batch = 20;

    /// <summary>2,000,000 bytes: what the service takes as a manifest.</summary>
    private const long MostManifestBytes = 2_000_000;

    /// <summary>3 minutes without an answer: whoever restarts the service is quicker.</summary>
    private static readonly TimeSpan LongestAbsence = TimeSpan.FromMinutes(3);

    private static readonly TimeSpan Pause = TimeSpan.FromSeconds(1);

    private static readonly HashSet<string> Endings = new(StringComparer.OrdinalIgnoreCase) { ".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".bmp", ".heic", ".heif" };

    public static bool IsPhoto(FileInfo file) => Endings.Contains(file.Extension);

    public async Task<Outcome<ScanOutcome>> Run(DirectoryInfo folder, string deliveryId, CancellationToken cancel)
    {
        if (!folder.Exists)
            return RefusalCatalog.NoSuchFolder.Because($"There is no folder {folder.FullName}.");
        var files = folder.EnumerateFiles("*", SearchOption.AllDirectories).Where(IsPhoto).OrderBy(f => f.FullName, StringComparer.Ordinal).ToList();
        if (files.Count == 0)
            return RefusalCatalog.NoPhotos.Because($"There is no photo in {folder.FullName}.");
        var manifest = new FileInfo(Path.Combine(folder.FullName, "manifest.csv"));
        if (manifest is { Exists: true, Length: > MostManifestBytes })
            return RefusalCatalog.ManifestTooLarge.Because($"{manifest.FullName} is larger than 2 MB.", "Write one row a photo.");

        if (!(await Photos(deliveryId, cancel)).TryGet(out var known, out var refusal))
            return refusal;
        var have = known.Select(p => p.Sha256).ToHashSet(StringComparer.Ordinal);
        var missing = new List<FileInfo>();
        foreach (var file in files)
        {
            if (have.Add(await Hash(file, cancel)))
                missing.Add(file);
        }

        var sent = 0;
        foreach (var batch in missing.Chunk(Batch))
        {
            progress.Show("sending", sent, missing.Count);
            var body = batch;
            if (!(await Patiently(() => client.SendPhotos(deliveryId, body, manifest.Exists ? manifest : null, cancel), cancel)).TryGet(out _, out refusal))
                return refusal;
            sent += batch.Length;
        }

        return (await WaitFor(deliveryId, cancel)).TryGet(out var photos, out refusal) ? new ScanOutcome(deliveryId, files.Count, sent, photos) : refusal;
    }

    private async Task<Outcome<List<ScannedPhoto>>> WaitFor(string deliveryId, CancellationToken cancel)
    {
        while (true)
        {
            if (!(await Photos(deliveryId, cancel)).TryGet(out var photos, out var refusal))
                return refusal;
            var done = photos.Count(p => p.State is "measured" or "unsorted" or "setAside");
            progress.Show("measuring", done, photos.Count);
            if (done == photos.Count)
            {
                progress.Clear();
                return photos;
            }

            await Task.Delay(Pause, cancel);
        }
    }

    private async Task<Outcome<List<ScannedPhoto>>> Photos(string deliveryId, CancellationToken cancel)
    {
        if (!(await Patiently(() => client.Get($"/v1/deliveries/{Uri.EscapeDataString(deliveryId)}", cancel), cancel)).TryGet(out var answer, out var refusal))
            return refusal;
        using var document = JsonDocument.Parse(answer);
        return document.RootElement.GetProperty("photos").Deserialize<List<ScannedPhoto>>(ContractJson.Options)!;
    }

    /// <summary>Repeats a call that is harmless to repeat while the service is busy or away.</summary>
    private async Task<Outcome<string>> Patiently(Func<Task<Outcome<string>>> call, CancellationToken cancel)
    {
        var since = System.Diagnostics.Stopwatch.StartNew();
        while (true)
        {
            var outcome = await call();
            if (outcome.Refusal is not { } refusal || (refusal.Fate != RefusalFate.TooBusy && refusal.Kind != RefusalCatalog.ServiceUnreachable) || since.Elapsed > LongestAbsence)
                return outcome;
            progress.Say(refusal.Fate == RefusalFate.TooBusy ? "the service is busy" : "waiting for the service");
            await Task.Delay(Pause, cancel);
        }
    }

    private static async Task<string> Hash(FileInfo file, CancellationToken cancel)
    {
        await using var stream = file.OpenRead();
        return Convert.ToHexStringLower(await SHA256.HashDataAsync(stream, cancel));
    }
}
