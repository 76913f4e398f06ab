using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// Names candidates by shape alone, with modest probabilities: an untrained stand-in would be wrong to sound sure, so every name here
/// stays below the probability at which a book rejects, and leads to a hold.
/// </summary>
internal static class BlemishNaming
{
    public static (BlemishKind Kind, double Probability) Name(BlemishCandidate candidate, View view)
    {
        var sure = Math.Clamp((candidate.Darkness - 4) / 12, 0, 1);
        if (candidate.Elongation >= 6 && candidate.Shape.DiameterMm < 2.5)
            return (BlemishKind.Check, 0.3 + (0.25 * sure));
        if (candidate.Elongation < 3.5 && candidate.Fill > 0.7)
            return (BlemishKind.Knot, 0.35 + (0.3 * sure));
        if (view == View.Face && candidate.Elongation is >= 3.5 and < 12 && Math.Abs(Math.Sin(candidate.ElongationRad)) < 0.2)
            return (BlemishKind.PitchPocket, 0.3 + (0.2 * sure));
        return (BlemishKind.Unknown, 0.3 + (0.2 * sure));
    }
}
