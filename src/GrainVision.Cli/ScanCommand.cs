using System.CommandLine;
using System.Text.Json;
using GrainVision.Grading.Refusals;

namespace GrainVision.Cli;

/// <summary><c>grainvision scan FOLDER --delivery …</c>: a folder of photos to a delivery, watched to the end, its report saved.</summary>
internal static class ScanCommand
{
    private static readonly string[] Files = ["report.json", "report.pdf", "mill-letter.pdf", "shop-sheet.pdf"];

    private static readonly string[] Tables = ["pieces", "uses", "reasons", "questions", "photos", "cuts"];

    public static Command Make()
    {
        var folder = new Argument<DirectoryInfo>("FOLDER") { Description = "Folder of photos; folders in it are read too. A manifest.csv in it is sent along." };
        var delivery = new Option<string>("--delivery") { Description = "Id of a delivery, or a JSON file to enter a new one from.", Required = true };
        var report = new Option<DirectoryInfo?>("--report") { Description = "Save the report in this folder: report.json, report.pdf, mill-letter.pdf, shop-sheet.pdf, the tables as CSV, and an inspection record a piece." };
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
                Console.Out.WriteLine($"Reports: {to.FullName} (mill-letter.pdf, shop-sheet.pdf, report.pdf, report.json, tables as .csv, piece-N.pdf)");
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
        var delivery = $"/v1/deliveries/{Uri.EscapeDataString(id)}";
        foreach (var (address, name) in Files.Select(f => (f, f)).Concat(Tables.Select(t => ($"report.csv?table={t}", $"{t}.csv"))))
        {
            if (await Keep($"{delivery}/{address}", name) is { } refusal)
                return refusal;
        }

        using var report = JsonDocument.Parse(await File.ReadAllBytesAsync(Path.Combine(to.FullName, "report.json"), cancel));
        foreach (var piece in report.RootElement.GetProperty("pieces").EnumerateArray().Select(p => p.GetProperty("piece")))
        {
            if (await Keep($"/v1/pieces/{Uri.EscapeDataString(piece.GetProperty("id").GetString()!)}/inspection-record.pdf", $"piece-{piece.GetProperty("number").GetInt32()}.pdf") is { } refusal)
                return refusal;
        }

        return null;

        async Task<Refusal?> Keep(string address, string name)
        {
            if (!(await client.TryGetBytes(address, cancel)).TryGet(out var bytes, out var refusal))
                return refusal;
            await File.WriteAllBytesAsync(Path.Combine(to.FullName, name), bytes, cancel);
            return null;
        }
    }
}
