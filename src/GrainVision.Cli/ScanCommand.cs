using System.CommandLine;
using System.Text.Json;
using GrainVision.Grading.Refusals;

namespace GrainVision.Cli;

/// <summary><c>grainvision scan FOLDER --delivery …</c>: a folder of photos to a delivery, watched to the end, its report saved.</summary>
internal static class ScanCommand
{
    public static Command Make()
    {
        var folder = new Argument<DirectoryInfo>("FOLDER") { Description = "Folder of photos; folders in it are read too. A manifest.csv in it is sent along." };
        var delivery = new Option<string>("--delivery") { Description = "Id of a delivery, or a JSON file to enter a new one from.", Required = true };
        var report = new Option<DirectoryInfo?>("--report") { Description = "Save report.json, .csv, .txt and .pdf in this folder." };
        var server = new ServerOptions("");
        var command = new Command(
            "scan", "Sends a folder of photos to a delivery and waits for the outcome. Run it again after a break: only what is missing is sent. Exit code 0: every photo was measured; 2: some need a person; 1: failed.")
        {
            folder, delivery, report,
        };
        foreach (var option in server.Remote)
            command.Options.Add(option);
        command.SetAction(async (parsed, cancel) =>
        {
            if (!server.Connect(parsed).TryGet(out var client, out var refusal))
                return Report.Fail(refusal);
            using var connected = client;
            var scan = new FolderScan(client, new ProgressLine(Console.Error));
            if (!(await Delivery(client, parsed.GetValue(delivery)!, cancel)).TryGet(out var id, out refusal)
                || !(await scan.Run(parsed.GetValue(folder)!, id, cancel)).TryGet(out var outcome, out refusal))
                return Report.Fail(refusal);
            Console.Out.Write(outcome.InWords());
            if (parsed.GetValue(report) is { } to)
            {
                if (await Save(client, id, to, cancel) is { } failed)
                    return Report.Fail(failed);
                Console.Out.WriteLine($"Report: {Path.Combine(to.FullName, "report.pdf")} (.csv, .txt, .json beside it)");
            }

            return outcome.Failures.Count == 0 ? ExitCodes.Ok : ExitCodes.Hold;
        });
        return command;
    }

    /// <summary>The delivery's id: as given, or of the one that the file describes, which is entered once however often this runs.</summary>
    private static async Task<Outcome<string>> Delivery(ServiceClient client, string given, CancellationToken cancel)
    {
        if (!File.Exists(given))
        {
            return given.EndsWith(".json", StringComparison.OrdinalIgnoreCase)
                ? RefusalCatalog.NoSuchFile.Because($"There is no file {Path.GetFullPath(given)}.", "Check the path, or give a delivery's id.")
                : given;
        }

        var json = await File.ReadAllTextAsync(given, cancel);
        // The content is the key: the same file again means the same delivery, so that a scan can be taken up where it broke off.
        var key = "delivery-" + Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(System.Text.Encoding.UTF8.GetBytes(json)));
        if (!(await client.Post("/v1/deliveries", json, key, cancel)).TryGet(out var answer, out var refusal))
            return refusal;
        using var document = JsonDocument.Parse(answer);
        return document.RootElement.GetProperty("id").GetString()!;
    }

    private static async Task<Refusal?> Save(ServiceClient client, string id, DirectoryInfo to, CancellationToken cancel)
    {
        to.Create();
        foreach (var kind in new[] { "json", "csv", "txt", "pdf" })
        {
            if (!(await client.TryGetBytes($"/v1/deliveries/{Uri.EscapeDataString(id)}/report.{kind}", cancel)).TryGet(out var bytes, out var refusal))
                return refusal;
            await File.WriteAllBytesAsync(Path.Combine(to.FullName, "report." + kind), bytes, cancel);
        }

        return null;
    }
}
