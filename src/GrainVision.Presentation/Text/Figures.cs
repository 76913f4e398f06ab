using System.Globalization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Presentation.Text;

/// <summary>Numbers as pictures and reports write them: culture-invariant, to the decimals that an interval supports, intervals rounded outwards.</summary>
internal static class Figures
{
    private const string NotKnown = "not known";

    public static string Whole(int n) => n.ToString(CultureInfo.InvariantCulture);

    public static string Number(double v, int decimals) =>
        double.IsFinite(v) ? (Math.Round(v, decimals) + 0.0).ToString("F" + Whole(decimals), CultureInfo.InvariantCulture) : NotKnown;

    /// <summary>As it was stated, to four decimals at most: "0.25".</summary>
    public static string Plain(double value) => value.ToString("0.####", CultureInfo.InvariantCulture);

    /// <summary>The best estimate alone, to the decimals that its interval supports.</summary>
    public static string Best(Measured m) => Number(m.Value, Decimals(m));

    /// <summary>
    /// "12.4 (11.8 to 13.1)", or with a unit "77.4° (75.9° to 78.8°)" and "236 mm (215 to 262)". The interval's ends are rounded outwards: a printed interval never looks tighter than the one that was judged,
    /// so none seems to clear a limit that it does not.
    /// </summary>
    public static string Span(Measured m, string unit = "")
    {
        if (!double.IsFinite(m.Value) || !double.IsFinite(m.Low) || !double.IsFinite(m.High))
            return NotKnown;
        var decimals = Decimals(m);
        var inside = unit == "°" ? unit : "";
        return $"{Number(m.Value, decimals)}{unit} ({Outward(m.Low, decimals, up: false)}{inside} to {Outward(m.High, decimals, up: true)}{inside})";
    }

    public static string OneInBest(OneIn n) => n.Value is { } v ? "1:" + Number(v, v < 100 ? 1 : 0) : "straight";

    /// <summary>"1:18.2 (1:15.1 to 1:22.8)"; the steep end comes first.</summary>
    public static string OneInSpan(OneIn n)
    {
        if (n is not { Value: null or (>= 0 and < double.PositiveInfinity), Low: null or (>= 0 and < double.PositiveInfinity), High: null or (>= 0 and < double.PositiveInfinity) })
            return NotKnown;
        string End(double? v, bool up) => v is { } x ? "1:" + Outward(x, x < 100 ? 1 : 0, up) : "straight";
        return $"{OneInBest(n)} ({End(n.Low, up: false)} to {End(n.High, up: true)})";
    }

    /// <summary>One digit of half the interval where that is 3 or more, else two (common practice): ±0.5 gives one decimal, ±3 none, ±1.1 one.</summary>
    private static int Decimals(Measured m)
    {
        var half = Math.Max(m.High - m.Value, m.Value - m.Low);
        return !double.IsFinite(half) ? 1 : half <= 0 ? 2 : (int)Math.Clamp(-Math.Floor(Math.Log10(half / 3)), 0, 3);
    }

    private static string Outward(double v, int decimals, bool up)
    {
        // The small allowance keeps 12.3 from becoming 12.4 because it is stored as 12.300000000000001.
        var factor = Math.Pow(10, decimals);
        var scaled = v * factor;
        return Number((up ? Math.Ceiling(scaled - 1e-6) : Math.Floor(scaled + 1e-6)) / factor, decimals);
    }
}
