using Microsoft.AspNetCore.Connections;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Guard;

/// <summary>Why the program did not start, in one line, where the cause is outside of it; what is a bug of ours keeps its trace.</summary>
public static class StartFailure
{
    /// <summary>13: SQLITE_FULL.</summary>
    private const int DatabaseFull = 13;

    /// <summary>28: ENOSPC, as .NET puts it into an IOException on Unix; 0x70: ERROR_DISK_FULL on Windows.</summary>
    private static readonly int[] DiskFull = [28, 0x70];

    /// <summary>Exit code and line, or null where the failure is not of that kind.</summary>
    public static (int ExitCode, string Line)? Of(Exception failure) => Causes(failure).Select(Known).FirstOrDefault(k => k is not null);

    private static (int ExitCode, string Line)? Known(Exception cause) => cause switch
    {
        OptionsValidationException or StartRefusedException => (StartRefusedException.ExitCode, cause.Message),
        AddressInUseException => (StartRefusedException.UnavailableExitCode, $"{cause.Message.TrimEnd('.')}. Another program has the port: end it, or name another with ASPNETCORE_URLS."),
        SqliteException { SqliteErrorCode: DatabaseFull } => Full,
        IOException io when DiskFull.Contains(io.HResult & 0xFFFF) => Full,
        _ => null,
    };

    private static (int ExitCode, string Line) Full => (StartRefusedException.UnavailableExitCode, "the disk of the data folder is full. Make room there and start again; nothing was lost.");

    private static IEnumerable<Exception> Causes(Exception failure)
    {
        for (var cause = failure; cause is not null; cause = cause.InnerException)
            yield return cause;
    }
}
