using System.Globalization;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Findings;

/// <summary>
/// Slopes of grain as the trade writes them: whole N, "1:21 (1:18 to 1:26)". N is rounded down throughout, so that no slope looks straighter than it is;
/// since published limits are whole numbers too, a printed slope stands on the same side of its limit as the measured one.
/// </summary>
public static class SlopeWords
{
    /// <summary>60: 1:60 is one degree, twice to four times as straight as any published limit; beyond it 1:N tells nobody anything (common practice, no source).</summary>
    private const double StraightestShown = 60;

    private const string Straightest = "straighter than 1:60";

    /// <summary>"1:21 (1:18 to 1:26)", "1:54 (1:30 or straighter)", "straighter than 1:60 (1:30 at worst)".</summary>
    /// <param name="slope">Tangent, signed or not.</param>
    /// <param name="limitOneIn">The limit it stands beside: one that is no whole number gives as many decimals.</param>
    public static string From(Measured slope, double limitOneIn = 1)
    {
        var m = slope.Magnitude();
        if (!double.IsFinite(m.Value) || !double.IsFinite(m.Low) || !double.IsFinite(m.High))
            return "not known";
        var (value, steep, flat) = (N(m.Value), N(m.High), N(m.Low));
        var digits = Digits(limitOneIn);
        if (m.Low == m.High)
            return Best(m.Value, limitOneIn);
        if (steep > StraightestShown)
            return Straightest;
        if (value > StraightestShown)
            return $"{Straightest} ({OneIn(steep, digits)} at worst)";
        return flat > StraightestShown
            ? $"{OneIn(value, digits)} ({OneIn(steep, digits)} or straighter)"
            : $"{OneIn(value, digits)} ({OneIn(steep, digits)} to {OneIn(flat, digits)})";
    }

    /// <summary>The same as a figure and a smaller one beside it: "1:21" and "1:18 to 1:26", "over 1:60" and "1:30 at worst".</summary>
    /// <param name="slope">Tangent, signed or not; finite.</param>
    public static (string Value, string Interval) Parts(Measured slope)
    {
        var m = slope.Magnitude();
        var (value, steep, flat) = (N(m.Value), N(m.High), N(m.Low));
        var worst = steep > StraightestShown ? "" : $"{OneIn(steep, 0)} at worst";
        return value > StraightestShown ? ("over 1:60", worst)
            : (OneIn(value, 0), m.Low == m.High ? "" : flat > StraightestShown ? worst : $"{OneIn(steep, 0)} to {OneIn(flat, 0)}");
    }

    /// <summary>One slope alone: "1:21".</summary>
    public static string Best(double tangent, double limitOneIn = 1) =>
        !double.IsFinite(tangent) ? "not known" : N(tangent) > StraightestShown ? Straightest : OneIn(N(tangent), Digits(limitOneIn));

    private static double N(double tangent) => tangent == 0 ? double.PositiveInfinity : 1 / Math.Abs(tangent);

    /// <summary>2: a limit such as 1:12.5 or 1:12.25.</summary>
    private static int Digits(double limitOneIn) => Enumerable.Range(0, 2).FirstOrDefault(d => Math.Abs((limitOneIn * Math.Pow(10, d)) - Math.Round(limitOneIn * Math.Pow(10, d))) < 1e-9, 2);

    // 1e-6: 1/(1/15) is 15 and not 14.
    private static string OneIn(double n, int digits) =>
        "1:" + (Math.Floor((n * Math.Pow(10, digits)) + 1e-6) / Math.Pow(10, digits)).ToString("F" + digits.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
}
