using System.Diagnostics;
using System.Text.Json;
using System.Text.Json.Nodes;
using GrainVision.Grading.Findings;
using GrainVision.Synthesis;

namespace GrainVision.Crash.Tests;

/// <summary>A scan whose service is killed three times ends exactly as one that nobody disturbed: no photo is lost, none counts twice.</summary>
public class ScanKilledTests
{
    private const string Delivery =
        """
        {"supplier":"Invented Fjord Mill","orderNumber":"CRASH-1","species":"sitka-spruce","ruleBooks":["spar"],
         "pieces":[{"number":1,"nominalQuarters":8,"widthIn":4,"lengthFt":8},{"number":2,"nominalQuarters":8,"widthIn":4,"lengthFt":8},{"number":3,"nominalQuarters":8,"widthIn":4,"lengthFt":8}]}
        """;

    /// <summary>What differs between two runs that mean the same.</summary>
    private static readonly HashSet<string> OfTheRun = ["id", "madeUtc", "measurement", "picture", "timingsMs"];

    [Fact]
    public async Task Scan_ServiceKilledThreeTimes_EndsAsUndisturbed()
    {
        using var photos = new PhotoFolder();
        var undisturbed = await Scan(photos, kills: 0);
        var disturbed = await Scan(photos, kills: 3);
        Assert.Equal(PhotoFolder.Count, undisturbed.Photos);
        Assert.Equal(undisturbed.Report, disturbed.Report);
        Assert.Equal(undisturbed.Photos, disturbed.Photos);
        Assert.Contains("\"isWhole\":true", disturbed.Verification, StringComparison.Ordinal);
    }

    private static async Task<(string Report, int Photos, string Verification)> Scan(PhotoFolder photos, int kills)
    {
        using var service = new MortalService();
        await service.Start();
        using var scan = Process.Start(new ProcessStartInfo(
            "dotnet", [MortalService.Program("GrainVision.Cli", "grainvision"), "scan", photos.Path, "--delivery", photos.DeliveryFile, "--server", service.Address.ToString()]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var (output, errors) = (scan.StandardOutput.ReadToEndAsync(), scan.StandardError.ReadToEndAsync());
        for (var kill = 0; kill < kills; kill++)
        {
            // In the middle of the work: a few photos further than at the last kill, or done before we got there.
            while (!scan.HasExited && await Done(service) < 2 + (3 * kill))
                await Task.Delay(30);
            service.Kill();
            await service.Start();
        }

        await scan.WaitForExitAsync();
        Assert.True(scan.ExitCode == 2, $"{scan.ExitCode}: {await output} {await errors}"); // the broken file is for a person
        var delivery = (await Deliveries(service))[0];
        var id = delivery.GetProperty("id").GetString();
        using var full = JsonDocument.Parse(await service.Client.GetStringAsync($"/v1/deliveries/{id}"));
        var report = JsonNode.Parse(await service.Client.GetStringAsync($"/v1/deliveries/{id}/report.json"))!;
        return (Without(report).ToJsonString(), full.RootElement.GetProperty("photos").GetArrayLength(), await service.Client.GetStringAsync("/v1/log/verification"));
    }

    private static async Task<int> Done(MortalService service)
    {
        var all = await Deliveries(service);
        if (all.Count == 0)
            return 0;
        using var full = JsonDocument.Parse(await service.Client.GetStringAsync($"/v1/deliveries/{all[0].GetProperty("id").GetString()}"));
        return full.RootElement.GetProperty("photos").EnumerateArray().Count(p => p.GetProperty("state").GetString() is "measured" or "setAside" or "unsorted");
    }

    private static async Task<List<JsonElement>> Deliveries(MortalService service)
    {
        using var all = JsonDocument.Parse(await service.Client.GetStringAsync("/v1/deliveries"));
        return [.. all.RootElement.GetProperty("deliveries").EnumerateArray().Select(d => d.Clone())];
    }

    private static JsonNode Without(JsonNode node)
    {
        if (node is JsonObject members)
        {
            foreach (var name in members.Select(m => m.Key).Where(OfTheRun.Contains).ToList())
                members.Remove(name);
            foreach (var (_, value) in members)
                _ = value is null ? null : Without(value);
        }
        else if (node is JsonArray items)
        {
            foreach (var item in items)
                _ = item is null ? null : Without(item);
        }

        return node;
    }

    /// <summary>Twelve small photos of three pieces, one of them twice, and a broken one.</summary>
    private sealed class PhotoFolder : IDisposable
    {
        private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("grainvision-photos-");

        public PhotoFolder()
        {
            var photos = _folder.CreateSubdirectory("photos");
            Path = photos.FullName;
            DeliveryFile = System.IO.Path.Combine(_folder.FullName, "delivery.json");
            File.WriteAllText(DeliveryFile, Delivery);
            string[] surfaces = ["endA", "endB", "face1", "face2"];
            for (var i = 0; i < 12; i++)
            {
                var surface = surfaces[i % 4];
                var request = new SceneRequest
                {
                    Seed = 7_000 + i, View = surface.StartsWith("end", StringComparison.Ordinal) ? View.End : View.Face, Difficulty = Difficulty.Easy,
                    Megapixels = 1, Species = "sitka-spruce", Scale = ScaleProp.Card,
                };
                File.WriteAllBytes(System.IO.Path.Combine(Path, $"{1 + (i / 4)}-{surface}.jpg"), Synthesiser.Make(request).ToJpeg());
            }

            File.Copy(System.IO.Path.Combine(Path, "1-endA.jpg"), System.IO.Path.Combine(Path, "again.jpg"));
            File.WriteAllBytes(System.IO.Path.Combine(Path, "3-face3.jpg"), File.ReadAllBytes(System.IO.Path.Combine(Path, "1-face1.jpg"))[..20_000]);
        }

        public string Path { get; }

        public string DeliveryFile { get; }

        /// <summary>Different photos: the one that is there twice counts once.</summary>
        public const int Count = 13;

        public void Dispose() => _folder.Delete(recursive: true);
    }
}
