using GrainVision.Measuring.Numerics;

namespace GrainVision.Measuring.Rings;

/// <summary>A place where a ring boundary may be.</summary>
/// <param name="AtPx">Position in the profile, samples, sub-sample.</param>
/// <param name="Step">Height of the step there, in units of the normalised profile.</param>
internal readonly record struct BoundaryCandidate(double AtPx, double Step);

/// <summary>
/// Finds steps of one polarity in a profile: maxima of the derivative of a Gaussian (J. Canny, PAMI 8(6), 1986,
/// doi 10.1109/TPAMI.1986.4767851), placed to a fraction of a sample by a parabola.
/// </summary>
internal static class BoundaryCandidates
{
    /// <param name="profile">Normalised grey profile.</param>
    /// <param name="polarity">+1: dark to light along the path; -1: light to dark.</param>
    /// <param name="sigmaPx">Scale of the derivative, samples.</param>
    public static List<BoundaryCandidate> Find(double[] profile, int polarity, double sigmaPx)
    {
        var derivative = Profile.Derivative(Profile.Smooth(profile, sigmaPx));
        // A step of height H seen through a Gaussian of sigma has the slope H / (sigma·sqrt(2·pi)).
        var stepFromSlope = Math.Sqrt((sigmaPx * sigmaPx) + 0.3) * Math.Sqrt(2 * Math.PI);
        var found = new List<BoundaryCandidate>();
        for (var x = 1; x < derivative.Length - 1; x++)
        {
            var d = polarity * derivative[x];
            if (d > 0 && d > polarity * derivative[x - 1] && d >= polarity * derivative[x + 1])
                found.Add(new BoundaryCandidate(Profile.Vertex(derivative, x), d * stepFromSlope));
        }

        return found;
    }

    /// <summary>
    /// The step height that carries the figure: half of all squared step heights lie above it. Many small steps of noise
    /// hardly move it, unlike a plain quantile.
    /// </summary>
    public static double TypicalStep(IReadOnlyList<BoundaryCandidate> candidates)
    {
        var sorted = candidates.Select(c => c.Step).OrderDescending().ToArray();
        var half = sorted.Sum(s => s * s) / 2;
        var sum = 0.0;
        foreach (var s in sorted)
        {
            sum += s * s;
            if (sum >= half)
                return s;
        }

        return 0;
    }
}
