using System.Runtime.CompilerServices;

namespace GrainVision.Grading.Lumber;

/// <summary>Guards against sizes and weights that no piece of wood has: a caller that passes one has a bug.</summary>
internal static class Positive
{
    internal static void Check(double value, [CallerArgumentExpression(nameof(value))] string? name = null)
    {
        if (!double.IsFinite(value) || value <= 0)
            throw new ArgumentOutOfRangeException(name, value, "A positive finite number is needed.");
    }
}
