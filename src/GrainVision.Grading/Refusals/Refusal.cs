namespace GrainVision.Grading.Refusals;

/// <summary>
/// What honestly cannot be done, as a value: a photo without a scale is a refusal, exceptions are for bugs. Made by <see cref="RefusalKind.Because"/> from
/// <see cref="RefusalCatalog"/>.
/// </summary>
public sealed record Refusal
{
    internal Refusal(RefusalKind kind, string message, string advice)
    {
        Kind = kind;
        Message = message;
        Advice = advice;
    }

    public RefusalKind Kind { get; }

    /// <summary>Stable kebab-case word for programs, such as <c>scale-not-found</c>.</summary>
    public string Code => Kind.Code;

    /// <summary>Stage that refused: intake, scale, section, request, sorting, decision, records, service.</summary>
    public string Stage => Kind.Stage;

    public RefusalFate Fate => Kind.Fate;

    /// <summary>What is wrong, one sentence, no internals.</summary>
    public string Message { get; }

    /// <summary>What to do next, one or two sentences.</summary>
    public string Advice { get; }

    /// <summary>True where the service, not the sender, is at fault: worth an alarm and a retry.</summary>
    public bool OurFault => Fate is RefusalFate.OurFault or RefusalFate.Unavailable;

    /// <summary>A refusal that another service gave, perhaps of a version with more codes than this one.</summary>
    public static Refusal Relayed(string code, string stage, RefusalFate fate, string message, string advice) =>
        new(new RefusalKind(code, stage, fate, RefusalPlaces.CommandLine, advice), message, advice);
}
