using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace GrainVision.Crash.Tests;

/// <summary>The program as a process of its own, on a port and a folder that outlive it; it can be killed and started again.</summary>
internal sealed class MortalService : IDisposable
{
    private static readonly TimeSpan LongestStart = TimeSpan.FromSeconds(90);

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("grainvision-crash-");
    private Process? _process;

    public MortalService()
    {
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        Address = new Uri(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{((IPEndPoint)probe.LocalEndpoint).Port}"));
        probe.Stop();
        Client = new HttpClient { BaseAddress = Address, Timeout = TimeSpan.FromMinutes(1) };
    }

    public Uri Address { get; }

    public HttpClient Client { get; }

    public async Task Start()
    {
        var start = new ProcessStartInfo("dotnet", [Program("GrainVision.Service")]) { RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["ASPNETCORE_URLS"] = Address.ToString();
        start.Environment["GrainVision__Records__Folder"] = _folder.FullName;
        start.Environment["Logging__LogLevel__Default"] = "Warning";
        _process = Process.Start(start)!;
        _process.OutputDataReceived += (_, _) => { };
        _process.ErrorDataReceived += (_, _) => { };
        _process.BeginOutputReadLine();
        _process.BeginErrorReadLine();
        var waited = Stopwatch.StartNew();
        while (!await IsLive())
        {
            Assert.True(waited.Elapsed < LongestStart && !_process.HasExited, "The service did not start.");
            await Task.Delay(100);
        }
    }

    /// <summary>kill -9: no handler runs, nothing is flushed.</summary>
    public void Kill()
    {
        if (_process is null)
            return;
        _process.Kill();
        _process.WaitForExit();
        _process.Dispose();
        _process = null;
    }

    public void Dispose()
    {
        Kill();
        Client.Dispose();
        _folder.Delete(recursive: true);
    }

    /// <summary>A program of this build, beside the tests.</summary>
    public static string Program(string project, string? file = null)
    {
        var here = new DirectoryInfo(AppContext.BaseDirectory);
        return Path.Combine(here.Parent!.Parent!.FullName, project, here.Name, (file ?? project) + ".dll");
    }

    private async Task<bool> IsLive()
    {
        try
        {
            using var answer = await Client.GetAsync("/health/live");
            return answer.IsSuccessStatusCode;
        }
        catch (HttpRequestException)
        {
            return false;
        }
    }
}
