using System.Diagnostics.CodeAnalysis;

namespace GrainVision.Grading.Refusals;

/// <summary>Either what was found or the <see cref="Refusals.Refusal"/> that says why not.</summary>
public readonly struct Outcome<T>
    where T : class
{
    private Outcome(T? found, Refusal? refusal)
    {
        Found = found;
        Refusal = refusal;
    }

    /// <summary>What was found, or null where <see cref="Refusal"/> says why not.</summary>
    public T? Found { get; }

    /// <summary>Why nothing was found, or null where <see cref="Found"/> holds it.</summary>
    public Refusal? Refusal { get; }

    /// <summary>True with the finding, false with the refusal; exactly one of them is non-null.</summary>
    public bool TryGet([NotNullWhen(true)] out T? found, [NotNullWhen(false)] out Refusal? refusal)
    {
        found = Found;
        refusal = Refusal;
        return Found is not null;
    }

    public static implicit operator Outcome<T>(T found) => new(found ?? throw new ArgumentNullException(nameof(found)), null);

    public static implicit operator Outcome<T>(Refusal refusal) => new(null, refusal ?? throw new ArgumentNullException(nameof(refusal)));

    public static Outcome<T> ToOutcome(T found) => found;
}
