using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>One limit against one photo: the piece of judging that a verdict on a photo, and one on several photos of a piece, are made of.</summary>
public static class LimitJudge
{
    /// <summary>
    /// What the limit says of the photo. Where the view should show the finding and it is missing, the answer holds; where the view
    /// cannot show it, there is no reason and a hand check stands for it.
    /// </summary>
    public static LimitAssessment Evaluate(Limit limit, Measurement measurement)
    {
        ArgumentNullException.ThrowIfNull(limit);
        ArgumentNullException.ThrowIfNull(measurement);
        return Evaluate(limit, measurement, BlemishSetting.OnPhoto(measurement));
    }

    /// <summary>The same for a surface of a piece: its blemishes have neighbours on the other surfaces, and its faces have names.</summary>
    internal static LimitAssessment Evaluate(Limit limit, Measurement measurement, BlemishSetting setting)
    {
        var findings = LimitKinds.From(limit).OnSurface(limit, measurement, setting);
        return findings with { Reasons = [.. findings.Reasons.Select(Writable)] };
    }

    /// <summary>
    /// Slope of grain of two adjacent faces of one piece, combined. Settles a hold of one face alone; at least one
    /// face must show the fibres (<see cref="GrainBasis.FibreStreaks"/>); the other may be a radial face read from ring lines.
    /// </summary>
    public static Reason CombinedSlope(SlopeOfGrain limit, string? species, GrainFinding first, GrainFinding second)
    {
        ArgumentNullException.ThrowIfNull(limit);
        ArgumentNullException.ThrowIfNull(first);
        ArgumentNullException.ThrowIfNull(second);
        return Writable(SlopeJudge.Combined(limit, species, first, second));
    }

    /// <summary>The same for the outer part of a face, with the whole of its adjacent face.</summary>
    internal static Reason CombinedSlope(SlopeOuterPart limit, GrainFinding face, GrainFinding adjacent) => Writable(SlopeJudge.Combined(limit, face, adjacent));

    /// <summary>JSON has no infinity and no NaN: a number that decided nothing is left out, and the text says so.</summary>
    internal static Reason Writable(Reason reason) => reason with
    {
        Measured = reason.Measured is { } m && GuardedAcceptance.IsUsable(m) ? m : null,
        Limit = reason.Limit is { } l && double.IsFinite(l) ? l : null,
        At = reason.At is { } at && double.IsFinite(at.X) && double.IsFinite(at.Y) ? at : null,
    };
}
