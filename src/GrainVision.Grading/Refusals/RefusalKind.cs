namespace GrainVision.Grading.Refusals;

/// <summary>One way of refusing: an entry of <see cref="RefusalCatalog"/>.</summary>
public sealed record RefusalKind
{
    internal RefusalKind(string code, string stage, RefusalFate fate, RefusalPlaces places, string advice) =>
        (Code, Stage, Fate, Places, Advice) = (code, stage, fate, places, advice);

    /// <summary>Stable kebab-case word for programs.</summary>
    public string Code { get; }

    /// <summary>Stage that refuses.</summary>
    public string Stage { get; }

    public RefusalFate Fate { get; }

    /// <summary>Where it can happen.</summary>
    public RefusalPlaces Places { get; }

    /// <summary>What to do next, where the occasion does not say it better.</summary>
    public string Advice { get; }

    /// <summary>The refusal on one occasion.</summary>
    /// <param name="message">What is wrong, one sentence.</param>
    /// <param name="advice">What to do next; null: <see cref="Advice"/>.</param>
    public Refusal Because(string message, string? advice = null) => new(this, message, advice ?? Advice);
}
