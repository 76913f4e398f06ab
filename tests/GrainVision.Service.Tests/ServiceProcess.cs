using System.Diagnostics;

namespace GrainVision.Service.Tests;

/// <summary>A program of ours run as the operating system runs it.</summary>
internal static class ServiceProcess
{
    public sealed record Ended(int ExitCode, string Output, string Errors);

    /// <summary>Runs a program to its end; fails where it takes longer than a minute.</summary>
    /// <param name="dll">File beside the tests, such as <c>grainvision.dll</c>.</param>
    /// <param name="arguments">Its command line.</param>
    /// <param name="environment">Set on top of a plain environment.</param>
    public static Task<Ended> Run(string dll, IEnumerable<string> arguments, Dictionary<string, string>? environment = null) =>
        RunFile(Path.Combine(AppContext.BaseDirectory, dll), arguments, environment);

    /// <summary>The same with a program from anywhere.</summary>
    public static async Task<Ended> RunFile(string file, IEnumerable<string> arguments, Dictionary<string, string>? environment = null)
    {
        using var folder = new TemporaryFolder();
        var start = new ProcessStartInfo("dotnet") { RedirectStandardOutput = true, RedirectStandardError = true, WorkingDirectory = folder.Path };
        start.ArgumentList.Add(file);
        foreach (var argument in arguments)
            start.ArgumentList.Add(argument);
        foreach (var name in new[] { "ASPNETCORE_URLS", "ASPNETCORE_HTTP_PORTS", "GRAINVISION_SERVER", "GRAINVISION_API_KEY" })
            start.Environment.Remove(name);
        foreach (var (name, value) in environment ?? [])
            start.Environment[name] = value;
        using var process = Process.Start(start)!;
        var output = process.StandardOutput.ReadToEndAsync();
        var errors = process.StandardError.ReadToEndAsync();
        using var patience = new CancellationTokenSource(TimeSpan.FromMinutes(1));
        try
        {
            await process.WaitForExitAsync(patience.Token);
        }
        catch (OperationCanceledException)
        {
            process.Kill(entireProcessTree: true);
            throw;
        }

        return new Ended(process.ExitCode, await output, await errors);
    }
}

internal sealed class TemporaryFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("grainvision-test-").FullName;

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
