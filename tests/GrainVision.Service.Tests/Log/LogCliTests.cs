using System.Net;

namespace GrainVision.Service.Tests.Log;

/// <summary>The log from outside: exported, verified and signed by the command line, with nothing of the service at hand but what it answers.</summary>
public sealed class LogCliTests : IAsyncLifetime, IDisposable
{
    private readonly RunningService _service = new();
    private readonly TemporaryFolder _folder = new();
    private string _server = "";

    public async Task InitializeAsync()
    {
        _service.UseKestrel(0);
        _service.StartServer();
        _server = _service.ClientOptions.BaseAddress.ToString();
        using var client = _service.CreateClient();
        using var measured = await client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        Assert.Equal(HttpStatusCode.OK, measured.StatusCode);
    }

    public async Task DisposeAsync() => await _service.DisposeAsync();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Log_ExportedSignedAndVerified_WithoutNativeLibraries()
    {
        var program = CopyWithoutNativeLibraries();
        var (log, checkpoint, key) = (In("log.jsonl"), In("checkpoint.json"), In("shop"));
        await Good(program, "export-log", _server, "--out", log);
        await Good(program, "checkpoint", "new-key", key);
        if (!OperatingSystem.IsWindows())
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(key + ".private.pem"));
        await Good(program, "checkpoint", "sign", _server, "--key", key + ".private.pem", "--out", checkpoint);
        await Good(program, "checkpoint", "verify", checkpoint, "--public-key", key + ".public.pem");
        var whole = await Good(program, "verify-log", log, "--photos", _service.Folder, "--checkpoint", checkpoint, "--public-key", key + ".public.pem");
        Assert.Contains("WHOLE", whole, StringComparison.Ordinal);
        Assert.Contains("2 photos and pictures", whole, StringComparison.Ordinal);
        Assert.Contains("Checkpoint 1 agreed", whole, StringComparison.Ordinal);
        await Good(program, "verify-log", _server, "--photos", _service.Folder);

        // The tail cut off: whole by itself, not with the checkpoint.
        var lines = await File.ReadAllLinesAsync(log);
        await File.WriteAllLinesAsync(log, lines[..^1]);
        Assert.Contains("a cut tail", await Good(program, "verify-log", log), StringComparison.Ordinal);
        var cut = await ServiceProcess.RunFile(program, ["verify-log", log, "--checkpoint", checkpoint, "--public-key", key + ".public.pem"]);
        Assert.Equal(1, cut.ExitCode);
        Assert.Contains($"first bad entry: {lines.Length}", cut.Output, StringComparison.Ordinal);

        // One character changed.
        await File.WriteAllLinesAsync(log, [lines[0], lines[1].Replace("local", "lokal", StringComparison.Ordinal), .. lines[2..]]);
        var edited = await ServiceProcess.RunFile(program, ["verify-log", log]);
        Assert.Equal(1, edited.ExitCode);
        Assert.Contains("first bad entry: 2 (line 2)", edited.Output, StringComparison.Ordinal);
        Assert.Contains("expected", edited.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("no-such-file", "verify-log", "nothing.jsonl")]
    [InlineData("public-key-missing", "verify-log", "nothing.jsonl", "--checkpoint", "c.json")]
    [InlineData("log-unreadable", "verify-log", "http://127.0.0.1:9")]
    public async Task Verify_WhatCannotBeRead_FailsAndSaysWhy(string code, params string[] arguments)
    {
        var ended = await ServiceProcess.Run("grainvision.dll", arguments);
        Assert.Equal(1, ended.ExitCode);
        Assert.Contains(code, ended.Errors, StringComparison.Ordinal);
    }

    private static async Task<string> Good(string program, params string[] arguments)
    {
        var ended = await ServiceProcess.RunFile(program, arguments);
        Assert.True(ended.ExitCode == 0, ended.Output + ended.Errors);
        return ended.Output;
    }

    /// <summary>The command line as it lies beside the tests, less every native library.</summary>
    private string CopyWithoutNativeLibraries()
    {
        var to = Directory.CreateDirectory(In("program")).FullName;
        foreach (var file in Directory.EnumerateFiles(AppContext.BaseDirectory).Where(f => Path.GetExtension(f) is ".dll" or ".json"))
            File.Copy(file, Path.Combine(to, Path.GetFileName(file)));
        Assert.False(Directory.Exists(Path.Combine(to, "runtimes")));
        Assert.Empty(Directory.EnumerateFiles(to, "*.so", SearchOption.AllDirectories));
        Assert.True(Directory.Exists(Path.Combine(AppContext.BaseDirectory, "runtimes"))); // else nothing was left out
        return Path.Combine(to, "grainvision.dll");
    }

    private string In(string name) => Path.Combine(_folder.Path, name);
}
