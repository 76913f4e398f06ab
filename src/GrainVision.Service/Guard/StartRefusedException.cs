namespace GrainVision.Service.Guard;

/// <summary>The program must not run with these settings. The message says what to change.</summary>
public sealed class StartRefusedException(string message) : Exception(message)
{
    /// <summary>78: EX_CONFIG of sysexits.h, so that a supervisor can tell it from a crash.</summary>
    public const int ExitCode = 78;

    /// <summary>69: EX_UNAVAILABLE of sysexits.h: what the program needs is not to be had now, and the settings are right.</summary>
    public const int UnavailableExitCode = 69;
}
