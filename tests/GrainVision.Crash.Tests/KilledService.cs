using System.Diagnostics;
using System.Text.RegularExpressions;

namespace GrainVision.Crash.Tests;

/// <summary>The service as a process of its own, which can be killed as a power cut would.</summary>
internal sealed partial class KilledService : IDisposable
{
    private readonly Process _process;

    private KilledService(Process process, Uri address)
    {
        _process = process;
        Client = new HttpClient { BaseAddress = address, Timeout = TimeSpan.FromMinutes(2) };
    }

    public HttpClient Client { get; }

    /// <summary>Starts it on a free port and waits until it listens.</summary>
    public static async Task<KilledService> Start(string folder)
    {
        var start = new ProcessStartInfo("dotnet") { RedirectStandardOutput = true, RedirectStandardError = true };
        start.ArgumentList.Add(Path.Combine(AppContext.BaseDirectory, "GrainVision.Service.dll"));
        start.Environment["ASPNETCORE_URLS"] = "http://127.0.0.1:0";
        start.Environment["GrainVision__Records__Folder"] = folder;
        var process = Process.Start(start)!;
        var listening = new TaskCompletionSource<Uri>(TaskCreationOptions.RunContinuationsAsynchronously);
        process.OutputDataReceived += (_, e) =>
        {
            if (e.Data is { } line && Address().Match(line) is { Success: true } match)
                listening.TrySetResult(new Uri(match.Value));
        };
        process.ErrorDataReceived += (_, _) => { };
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        return new KilledService(process, await listening.Task.WaitAsync(TimeSpan.FromMinutes(2)));
    }

    /// <summary>SIGKILL: nothing is flushed, closed or answered any more.</summary>
    public async Task Kill()
    {
        _process.Kill();
        await _process.WaitForExitAsync();
    }

    public void Dispose()
    {
        if (!_process.HasExited)
            _process.Kill();
        _process.Dispose();
        Client.Dispose();
    }

    [GeneratedRegex(@"http://127\.0\.0\.1:\d+")]
    private static partial Regex Address();
}
