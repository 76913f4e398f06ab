using System.Text.Json.Serialization;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Findings;

/// <summary>
/// The printed check target measured and held against what was printed. It checks camera, scale and measuring end to end; it is not wood, and no
/// verdict is given beside it.
/// </summary>
/// <param name="PitchMm">Distance between the printed bands along their normal, mm.</param>
/// <param name="AngleDegrees">Angle between the printed bands and the block's long side, degrees, 0 to 90.</param>
/// <param name="Recognised">True where the sheet's marker told the two numbers; false where the request did.</param>
/// <param name="Ok">True where every line is.</param>
/// <param name="Lines">What was compared.</param>
/// <param name="Note">What this comparison cannot show.</param>
public sealed record CheckTargetFinding(
    double PitchMm, double AngleDegrees, bool Recognised, bool Ok, IReadOnlyList<CheckTargetLine> Lines, string Note)
{
    /// <summary>True where no line is wrong and not every one is right: nobody can tell.</summary>
    [JsonIgnore]
    public bool IsOpen => !Ok && Lines.All(l => l.Ok || l.Open);
}

/// <summary>One quantity of the check target.</summary>
/// <param name="What">Name with its unit: <c>blockLengthMm</c>, <c>blockHeightMm</c>, <c>ringsPerInch</c>, <c>ringAngleDegrees</c>, <c>checkLineMm</c>.</param>
/// <param name="Printed">What the sheet shows.</param>
/// <param name="Measured">What the photo gave, or the caller's rule of a check line; null where nothing was measured.</param>
/// <param name="Difference">Measured less printed; null where nothing was measured.</param>
/// <param name="Tolerance">Greatest difference that passes, in the same unit.</param>
/// <param name="Ok">True where the difference is within the tolerance.</param>
/// <param name="Advice">What to do where it is not.</param>
public sealed record CheckTargetLine(
    string What, double Printed, Measured? Measured, double? Difference, double Tolerance, bool Ok, string? Advice = null)
{
    /// <summary>
    /// True where nobody can tell: not measured, or the difference is beyond the tolerance while its interval still reaches into it. Neither
    /// <see cref="Ok"/> nor a fault of print or camera.
    /// </summary>
    public bool Open { get; init; }
}
