using GrainVision.Grading.Refusals;

namespace GrainVision.Cli;

/// <summary>How a verb ends that could not do its work.</summary>
internal static class Report
{
    /// <summary>Reason, code and advice on the error stream; exit code 1.</summary>
    public static int Fail(Refusal refusal)
    {
        Console.Error.WriteLine($"{refusal.Message} [{refusal.Code}]\n{refusal.Advice}");
        return ExitCodes.Failed;
    }
}
