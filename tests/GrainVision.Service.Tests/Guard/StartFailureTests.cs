using System.Net;
using System.Net.Sockets;
using GrainVision.Service.Guard;
using Microsoft.Data.Sqlite;

namespace GrainVision.Service.Tests.Guard;

/// <summary>What a person reads who starts the service where it cannot run.</summary>
public sealed class StartFailureTests
{
    [Fact]
    public async Task PortTaken_IsSaidInOneLine()
    {
        using var taken = new TcpListener(IPAddress.Loopback, 0);
        taken.Start();
        using var folder = new TemporaryFolder();
        var port = ((IPEndPoint)taken.LocalEndpoint).Port;
        var ended = await ServiceProcess.Run(
            "GrainVision.Service.dll", [], new() { ["ASPNETCORE_URLS"] = $"http://127.0.0.1:{port}", ["GrainVision__Records__Folder"] = Path.Combine(folder.Path, "data"), ["Logging__LogLevel__Default"] = "None" });
        Assert.Equal(69, ended.ExitCode);
        var line = Assert.Single(ended.Errors.Split('\n', StringSplitOptions.RemoveEmptyEntries));
        Assert.StartsWith("GrainVision does not start:", line, StringComparison.Ordinal);
        Assert.Contains("ASPNETCORE_URLS", line, StringComparison.Ordinal);
    }

    /// <summary>28 is ENOSPC (errno.h of Linux), 13 SQLITE_FULL (sqlite.org/rescode.html); wrapped, as libraries do.</summary>
    [Fact]
    public void DiskFull_IsSaid_AndABugIsNot()
    {
        Assert.Contains("full", StartFailure.Of(new InvalidOperationException("x", new IOException("No space left on device", 28)))!.Value.Line, StringComparison.Ordinal);
        Assert.Contains("full", StartFailure.Of(new SqliteException("database or disk is full", 13))!.Value.Line, StringComparison.Ordinal);
        Assert.Null(StartFailure.Of(new InvalidOperationException("x", new IOException("other", 5))));
        Assert.Null(StartFailure.Of(new ArgumentException("x")));
    }
}
