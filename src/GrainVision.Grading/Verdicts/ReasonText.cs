using System.Globalization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Verdicts;

/// <summary>Numbers as a person in the shop reads them; the same in every culture.</summary>
internal static class ReasonText
{
    /// <summary>3: more decimals than this are noise, even beside a limit.</summary>
    private const int MostDecimals = 3;

    private const string NoNumber = "no usable number";

    /// <summary>Source of a hold that no book's limit asks for.</summary>
    internal const string OwnSource = "this program's own rule";

    /// <summary>A limit without needless zeros: 6, 0.375, 21.2133.</summary>
    internal static string Plain(double value) => value.ToString("0.####", CultureInfo.InvariantCulture);

    /// <summary>"7.4 rings/in (7.1 to 7.8)"; one more decimal where an end would otherwise round onto the limit.</summary>
    internal static string Interval(Measured m, string unit, int decimals, params ReadOnlySpan<double> limits)
    {
        if (!GuardedAcceptance.IsUsable(m))
            return NoNumber;
        while (decimals < MostDecimals && RoundsOntoAny(m, decimals, limits))
            decimals++;
        var format = "F" + decimals.ToString(CultureInfo.InvariantCulture);
        var value = $"{Fixed(m.Value, format)}{unit}";
        return m.Low == m.High ? value : $"{value} ({Fixed(m.Low, format)} to {Fixed(m.High, format)})";
    }

    /// <summary>A length in mm as "9.5 mm (9.1 to 9.9)".</summary>
    internal static string Mm(Measured m, params ReadOnlySpan<double> limits) => Interval(m, " mm", 1, limits);

    /// <summary>A length limit given in inches as "3/8 in" prints it: "0.375 in (9.5 mm)".</summary>
    internal static string Inches(double inches) =>
        string.Create(CultureInfo.InvariantCulture, $"{inches:0.###} in ({inches * Units.MmPerInch:0.0#} mm)");

    /// <summary>A slope beside its limit: "1:18 (1:16 to 1:20)", steep end first.</summary>
    internal static string OneIn(Measured slope, double limitOneIn) => GuardedAcceptance.IsUsable(slope) ? SlopeWords.From(slope, limitOneIn) : NoNumber;

    /// <summary>"met", "broken" or "open".</summary>
    internal static string Word(VerdictOutcome outcome) => outcome switch
    {
        VerdictOutcome.Accept => "met",
        VerdictOutcome.Reject => "broken",
        _ => "open",
    };

    /// <summary>A share as "62 %".</summary>
    internal static string Percent(double share) => string.Create(CultureInfo.InvariantCulture, $"{Math.Round(100 * share):0} %");

    /// <summary>A chance as "about 62 %": never "0 %" nor "100 %", since an interval that holds the limit leaves it open.</summary>
    internal static string Chance(double probability) => probability < 0.01 ? "under 1 %" : probability > 0.99 ? "over 99 %" : $"about {Percent(probability)}";

    private static bool RoundsOntoAny(Measured m, int decimals, ReadOnlySpan<double> limits)
    {
        foreach (var limit in limits)
        {
            if (RoundsOnto(m.Low, limit, decimals) || RoundsOnto(m.High, limit, decimals))
                return true;
        }

        return false;
    }

    private static bool RoundsOnto(double end, double limit, int decimals) =>
        Math.Abs(end - limit) > 1e-9 * Math.Abs(limit) && Math.Round(end, decimals) == Math.Round(limit, decimals);

    // Away from zero in the last digit only where the runtime says so; "-0.0" never shows.
    private static string Fixed(double value, string format)
    {
        var text = value.ToString(format, CultureInfo.InvariantCulture);
        return text.TrimStart('-').Trim('0', '.').Length == 0 ? text.TrimStart('-') : text;
    }
}
