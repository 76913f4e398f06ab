using System.IO.Compression;
using System.Net;
using GrainVision.Records.Log;
using GrainVision.Records.Photos;

namespace GrainVision.Service.Tests.Log;

/// <summary>An audit pack proves itself: whoever gets it needs neither the service nor its records.</summary>
public class AuditPackTests
{
    private const string Key = "auditor-key-0123456789-abcdefgh";

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Pack_OfAPiece_VerifiesByItselfAndHoldsWhatItNames(bool mayReadOriginals)
    {
        await using var service = new RunningService(new()
        {
            ["GrainVision:Guard:ApiKeys:0:Name"] = "auditor", ["GrainVision:Guard:ApiKeys:0:Key"] = Key,
            ["GrainVision:Guard:ApiKeys:0:MayReadOriginals"] = mayReadOriginals ? "true" : "false",
        });
        using var client = service.CreateClient();
        client.DefaultRequestHeaders.Authorization = new("Bearer", Key);
        var id = await client.Enter();
        await client.SendAll(id, ("1-face1.jpg", DeliveryCalls.Face), ("2-face1.jpg", DeliveryCalls.OtherFace));
        using var decided = await client.PostAsync($"/v1/pieces/{id}-1/decisions", new StringContent("""{"ruleBook":"spar"}""", System.Text.Encoding.UTF8, "application/json"));
        Assert.Equal(HttpStatusCode.Created, decided.StatusCode);

        using var folder = new TemporaryFolder();
        await using (var zip = await ZipFile.OpenReadAsync(await Save(client, $"/v1/pieces/{id}-1/audit-pack", folder.Path)))
            zip.ExtractToDirectory(folder.Path);
        var lines = await File.ReadAllLinesAsync(Path.Combine(folder.Path, "log.jsonl"));
        var found = Verify(lines, mayReadOriginals ? folder.Path : null);
        Assert.True(found.IsWhole, found.Problem?.What);
        Assert.Contains(lines, l => l.Contains("\"kind\":\"decision\"", StringComparison.Ordinal));
        Assert.DoesNotContain("2-face1.jpg", string.Join('\n', lines), StringComparison.Ordinal); // the other piece is nobody's business here
        Assert.NotEmpty(Directory.GetFiles(Path.Combine(folder.Path, "pictures")));
        Assert.NotEmpty(Directory.GetFiles(Path.Combine(folder.Path, "rule-books")));
        Assert.Equal(mayReadOriginals, Directory.Exists(Path.Combine(folder.Path, "photos")));
        Assert.Contains("spar", await File.ReadAllTextAsync(Path.Combine(folder.Path, "index.html")), StringComparison.Ordinal);

        // VERIFY.txt followed literally ends well, whatever the pack holds; with a picture exchanged it does not.
        var command = (await File.ReadAllLinesAsync(Path.Combine(folder.Path, "VERIFY.txt"))).Single(l => l.Contains("grainvision verify-log", StringComparison.Ordinal)).Trim().Split(' ')[1..];
        string[] inFolder = [.. command.Select(w => w is "." or "log.jsonl" ? Path.Combine(folder.Path, w) : w)];
        var followed = await ServiceProcess.Run("grainvision.dll", inFolder);
        Assert.True(followed.ExitCode == 0 && followed.Output.StartsWith("WHOLE", StringComparison.Ordinal), followed.Output + followed.Errors);
        Assert.Contains(mayReadOriginals ? "photos and pictures have their recorded hashes" : "pictures have their recorded hashes; photos not checked", followed.Output, StringComparison.Ordinal);
        await File.WriteAllTextAsync(Directory.GetFiles(Path.Combine(folder.Path, "pictures"))[0], "another picture");
        Assert.Equal(1, (await ServiceProcess.Run("grainvision.dll", inFolder)).ExitCode);

        // A word changed anywhere shows.
        var changed = lines.Select(l => l.Replace("\"verdict\":\"hold\"", "\"verdict\":\"accept\"", StringComparison.Ordinal).Replace("\"verdict\":\"reject\"", "\"verdict\":\"accept\"", StringComparison.Ordinal)).ToArray();
        Assert.NotEqual(lines, changed);
        Assert.False(Verify(changed, null).IsWhole);
    }

    [Fact]
    public async Task Pack_OfNothing_IsAProblem()
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        using var answer = await client.GetAsync("/v1/deliveries/none/audit-pack");
        await answer.IsProblem(404, "nothing-recorded", "request");
    }

    private static LogVerification Verify(IEnumerable<string> lines, string? photos)
    {
        var verifier = new LogVerifier([], photos is null ? null : new PhotoFolder(photos).Problem, extract: true);
        foreach (var line in lines)
        {
            if (!verifier.AddLine(line))
                break;
        }

        return verifier.Finish();
    }

    private static async Task<string> Save(HttpClient client, string address, string folder)
    {
        var file = Path.Combine(folder, "pack.zip");
        await File.WriteAllBytesAsync(file, await client.GetByteArrayAsync(address));
        return file;
    }
}
