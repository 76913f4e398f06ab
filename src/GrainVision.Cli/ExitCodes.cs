namespace GrainVision.Cli;

/// <summary>What the shell sees.</summary>
internal static class ExitCodes
{
    /// <summary>Accepted, or measured without a rule book.</summary>
    public const int Ok = 0;

    /// <summary>Refused or failed; the reason is on the error stream.</summary>
    public const int Failed = 1;

    public const int Hold = 2;

    public const int Reject = 3;
}
