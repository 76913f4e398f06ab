using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// Guarded acceptance: accept only when the whole interval is on the good side of the limit, reject only when it is
/// wholly on the bad side, else hold. A value on the limit is on the good side.
/// </summary>
/// <remarks>
/// JCGM 106:2012, Evaluation of measurement data: the role of measurement uncertainty in conformity assessment. The
/// guard band is the interval's own half-width, taken on both sides of the limit.
/// </remarks>
public static class GuardedAcceptance
{
    /// <summary>1e-9, relative: room for the rounding of unit conversions (3/8 in to mm), a million times less than any uncertainty.</summary>
    private const double Rounding = 1e-9;

    /// <summary>
    /// True where the interval can carry a decision: finite, in order, and of at least the usual coverage. A default
    /// <see cref="Measured"/> has coverage 0 and is not usable.
    /// </summary>
    public static bool IsUsable(Measured m) =>
        double.IsFinite(m.Low) && double.IsFinite(m.High) && m.Low <= m.Value && m.Value <= m.High
        && m.Level >= Measured.DefaultLevel - Rounding && m.Level <= 1;

    /// <summary>Against a lower limit. An unusable interval holds.</summary>
    public static VerdictOutcome AtLeast(Measured m, double lowerLimit)
    {
        var room = Rounding * Math.Abs(lowerLimit);
        if (!IsUsable(m) || !double.IsFinite(lowerLimit))
            return VerdictOutcome.Hold;
        if (m.Low >= lowerLimit - room)
            return VerdictOutcome.Accept;
        return m.High < lowerLimit - room ? VerdictOutcome.Reject : VerdictOutcome.Hold;
    }

    /// <summary>Against an upper limit. An unusable interval holds.</summary>
    public static VerdictOutcome AtMost(Measured m, double upperLimit) => AtLeast(m.Scale(-1), -upperLimit);

    /// <summary>Against both.</summary>
    public static VerdictOutcome Within(Measured m, double lowerLimit, double upperLimit) =>
        Gravest(AtLeast(m, lowerLimit), AtMost(m, upperLimit));

    /// <summary>Reject before hold before accept.</summary>
    public static VerdictOutcome Gravest(VerdictOutcome a, VerdictOutcome b) => a > b ? a : b;

    /// <summary>Reject before hold before accept; hold where there is nothing to go by.</summary>
    public static VerdictOutcome Gravest(IEnumerable<VerdictOutcome> outcomes) =>
        outcomes.DefaultIfEmpty(VerdictOutcome.Hold).Max();

    /// <summary>
    /// Probability that the true value lies within the limits: Phi((upper - y)/u) - Phi((lower - y)/u). A missing
    /// limit is infinitely far away.
    /// </summary>
    /// <param name="y">Measured value.</param>
    /// <param name="u">Standard uncertainty, over 0; at 0 the answer is 0 or 1.</param>
    /// <param name="lowerLimit">Null for none.</param>
    /// <param name="upperLimit">Null for none.</param>
    public static double ConformanceProbability(double y, double u, double? lowerLimit = null, double? upperLimit = null)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(u);
        if (u == 0)
            return y >= (lowerLimit ?? double.NegativeInfinity) && y <= (upperLimit ?? double.PositiveInfinity) ? 1 : 0;
        var below = lowerLimit is { } low ? NormalDistribution.Cumulative((low - y) / u) : 0;
        var above = upperLimit is { } high ? NormalDistribution.Cumulative((high - y) / u) : 1;
        return above - below;
    }
}
