using System.Globalization;
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

    /// <summary>A length as shops on both sides of the ocean read it: "24 mm (15/16 in)", "1210 mm (3 ft 11 5/8 in)"; to a sixteenth of an inch.</summary>
    public static string Length(double mm)
    {
        if (!double.IsFinite(mm))
            return NotKnown;
        var sixteenths = (long)Math.Round(mm / Units.MmPerInch * 16);
        var (feet, inches, rest) = (sixteenths / 192, sixteenths % 192 / 16, sixteenths % 16);
        var divisor = rest % 8 == 0 ? 8 : rest % 4 == 0 ? 4 : rest % 2 == 0 ? 2 : 1;
        string[] parts =
        [
            .. feet > 0 ? [string.Create(CultureInfo.InvariantCulture, $"{feet} ft")] : Array.Empty<string>(),
            .. inches > 0 || rest > 0 || feet == 0
                ? [(inches > 0 || rest == 0 ? inches.ToString(CultureInfo.InvariantCulture) : "") + (inches > 0 && rest > 0 ? " " : "") + (rest > 0 ? string.Create(CultureInfo.InvariantCulture, $"{rest / divisor}/{16 / divisor}") : "") + " in"]
                : Array.Empty<string>(),
        ];
        return $"{Number(mm, mm < 10 ? 1 : 0)} mm ({string.Join(' ', parts)})";
    }

    /// <summary>Along a piece, where a saw or an eye goes: "1210 mm (4 ft 0 in)", to the inch.</summary>
    public static string Station(double mm)
    {
        var inches = (long)Math.Round(mm / Units.MmPerInch);
        var feet = inches < 12 ? "" : string.Create(CultureInfo.InvariantCulture, $"{inches / 12} ft ");
        return string.Create(CultureInfo.InvariantCulture, $"{Number(mm, 0)} mm ({feet}{inches % 12} in)");
    }

    /// <summary>The best estimate alone, to the decimals that its interval supports.</summary>
    public static string Best(Measured m, int mostDecimals = 3) => Number(m.Value, Decimals(m, mostDecimals));

    /// <summary>
    /// "12.4 (11.8 to 13.1)", or with a unit "77.4° (75.9° to 78.8°)" and "236 mm (215 to 262)". The interval's ends are rounded outwards: a printed interval never looks tighter than the one that was judged,
    /// so none seems to clear a limit that it does not.
    /// </summary>
    public static string Span(Measured m, string unit = "", int mostDecimals = 3)
    {
        if (!double.IsFinite(m.Value) || !double.IsFinite(m.Low) || !double.IsFinite(m.High))
            return NotKnown;
        return $"{Number(m.Value, Decimals(m, mostDecimals))}{unit} ({Ends(m, unit, mostDecimals)})";
    }

    /// <summary>The interval alone: "11.8 to 13.1", "75.9° to 78.8°".</summary>
    public static string Ends(Measured m, string unit = "", int mostDecimals = 3)
    {
        if (!double.IsFinite(m.Low) || !double.IsFinite(m.High))
            return NotKnown;
        var decimals = Decimals(m, mostDecimals);
        var inside = unit == "°" ? unit : "";
        return $"{Outward(m.Low, decimals, up: false)}{inside} to {Outward(m.High, decimals, up: true)}{inside}";
    }

    /// <summary>One digit of half the interval where that is 3 or more, else two (common practice): ±0.5 gives one decimal, ±3 none, ±1.1 one.</summary>
    private static int Decimals(Measured m, int most)
    {
        var half = Math.Max(m.High - m.Value, m.Value - m.Low);
        return Math.Min(most, !double.IsFinite(half) ? 1 : half <= 0 ? 2 : (int)Math.Clamp(-Math.Floor(Math.Log10(half / 3)), 0, 3));
    }

    private static string Outward(double v, int decimals, bool up)
    {
        // The small allowance keeps 12.3 from becoming 12.4 because it is stored as 12.300000000000001.
        var factor = Math.Pow(10, decimals);
        var scaled = v * factor;
        return Number((up ? Math.Ceiling(scaled - 1e-6) : Math.Floor(scaled + 1e-6)) / factor, decimals);
    }
}
