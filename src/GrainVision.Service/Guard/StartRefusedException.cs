namespace GrainVision.Service.Guard;

/// <summary>The program must not run with these settings. The message says what to change.</summary>
public sealed class StartRefusedException(string message) : Exception(message)
{
    /// <summary>78: EX_CONFIG of sysexits.h, so that a supervisor can tell it from a crash.</summary>
    public const int ExitCode = 78;
}
