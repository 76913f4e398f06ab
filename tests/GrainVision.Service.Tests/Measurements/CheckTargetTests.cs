using System.Net;

namespace GrainVision.Service.Tests.Measurements;

/// <summary>The check target over HTTP and by the command line; what it measures is tested with the accuracy tool.</summary>
public class CheckTargetTests
{
    private const string Photo = "photos/check-target-1.5mm-75deg.jpg";

    [Fact]
    public async Task Measure_CheckTarget_IsRecognisedComparedAndNotJudged()
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        using var answer = await client.Measure(Calls.Fixture(Photo), """{"view":"end","ruleBook":"spar","checkTarget":{"checkLineMm":97,"paper":"a4"}}""");
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        var m = await answer.Json();
        var target = m.GetProperty("checkTarget");
        Assert.Equal(1.5, target.GetProperty("pitchMm").GetDouble());
        Assert.Equal(75, target.GetProperty("angleDegrees").GetDouble());
        Assert.True(target.GetProperty("recognised").GetBoolean());
        Assert.False(target.GetProperty("ok").GetBoolean()); // a check line of 97 mm
        var lines = target.GetProperty("lines").EnumerateArray().ToDictionary(l => l.GetProperty("what").GetString()!);
        Assert.Equal(["blockLengthMm", "blockHeightMm", "ringsPerInch", "ringAngleDegrees", "checkLineMm"], lines.Keys);
        Assert.Equal(25.4 / 1.5, lines["ringsPerInch"].GetProperty("printed").GetDouble(), 9);
        Assert.InRange(lines["ringsPerInch"].GetProperty("difference").GetDouble(), -0.169, 0.169); // 1 %
        Assert.All(lines.Where(l => l.Key != "checkLineMm"), l => Assert.True(l.Value.GetProperty("ok").GetBoolean(), l.Key));
        Assert.False(lines["checkLineMm"].GetProperty("ok").GetBoolean());
        Assert.False(m.TryGetProperty("verdict", out _));
        var warnings = m.GetProperty("warnings").EnumerateArray().Select(w => (Code: w.GetProperty("code").GetString(), Member: w.TryGetProperty("member", out var member) ? member.GetString() : null)).ToList();
        Assert.Contains(warnings, w => w.Code == "not-wood");
        Assert.Contains(warnings, w => w == ("member-ignored", "checkTarget.paper"));
    }

    [Fact]
    public async Task CheckTarget_ThroughTheServiceAndInThisProcess_SaysTheSame()
    {
        await using var service = new RunningService();
        service.UseKestrel(0);
        service.StartServer();
        var remote = await ServiceProcess.Run("grainvision.dll", ["check-target", Calls.FixturePath(Photo), "--server", service.ClientOptions.BaseAddress.ToString()]);
        var local = await ServiceProcess.Run("grainvision.dll", ["check-target", Calls.FixturePath(Photo), "--local"]);
        Assert.True(remote.ExitCode == 0, remote.Errors + remote.Output);
        Assert.Equal(local.Output, remote.Output);
        Assert.StartsWith("PASS", remote.Output, StringComparison.Ordinal);
        Assert.Contains("97 %", remote.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task CheckTarget_ShrunkPrint_FailsAndSaysWhatToDo()
    {
        var ended = await ServiceProcess.Run("grainvision.dll", ["check-target", Calls.FixturePath(Photo), "--local", "--check-line-mm", "97"]);
        Assert.Equal(2, ended.ExitCode);
        Assert.StartsWith("FAIL", ended.Output, StringComparison.Ordinal);
        Assert.Contains("print again at 100 %", ended.Output, StringComparison.Ordinal);
        Assert.Equal(2, (await ServiceProcess.Run("grainvision.dll", ["check-target", Calls.FixturePath(Photo), "--local", "--json", "--check-line-mm", "97"])).ExitCode);
    }

    [Fact]
    public async Task CheckTarget_PhotoOfWood_IsNotCompared()
    {
        var ended = await ServiceProcess.Run("grainvision.dll", ["check-target", Calls.FixturePath(Calls.RingsPhoto), "--local"]);
        Assert.Equal(1, ended.ExitCode);
        Assert.Contains("card-not-found", ended.Errors, StringComparison.Ordinal);
    }
}
