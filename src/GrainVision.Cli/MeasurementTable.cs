using System.Text;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Cli;

/// <summary>A measurement as a person reads it in a terminal: verdict first, then the numbers with their 95 % intervals.</summary>
internal static class MeasurementTable
{
    public static string From(Measurement m)
    {
        var text = new StringBuilder();
        if (m.Verdict is { } verdict)
        {
            text.AppendLine($"{verdict.Outcome.ToString().ToUpperInvariant()}  {verdict.Scope}, for {verdict.Use}");
            foreach (var reason in verdict.Reasons)
                text.AppendLine($"  {reason.Outcome.ToString().ToLowerInvariant(),-7}{reason.Text}");
            text.AppendLine();
        }

        foreach (var (name, value) in Rows(m))
            text.AppendLine($"{name,-18}{value}");
        List(text, "Cannot say", m.CannotSay.Select(c => $"{c.Subject}: {c.Why} By hand: {c.HandCheck}"));
        List(text, "Warnings", m.Warnings.Select(w => w.Message));
        List(text, "Still to do by hand", m.Verdict?.HandChecks ?? []);
        List(text, "Cautions", m.Verdict?.Cautions ?? [VerdictCautions.Short]);
        if (m.Id.Length > 0)
            text.AppendLine($"\nRecord {m.Id}");
        return text.ToString();
    }

    private static IEnumerable<(string Name, string Value)> Rows(Measurement m)
    {
        if (m.Rings is { } rings)
        {
            yield return ("Rings per inch", $"{Interval(rings.PerInch, 1)}, {rings.Count} rings counted");
            yield return ("Worst inch", $"{Interval(rings.WorstInch, 1)} rings/in");
            yield return ("Mean ring width", $"{Interval(rings.MeanWidthMm, 2)} mm");
            yield return ("Latewood share", $"{Interval(rings.LatewoodShare.Scale(100), 0)} %");
        }

        if (m.RingAngle is { } angle)
        {
            yield return ("Ring angle", $"{Interval(angle.Degrees, 1)} deg, least {angle.Least:0}, greatest {angle.Greatest:0}");
            yield return ("Cut", angle.Cut switch { Cut.QuarterSawn => "quarter-sawn", Cut.RiftSawn => "rift-sawn", _ => "flat-sawn" });
            if (angle.Pith is { } pith)
                yield return ("Pith", $"{Interval(pith.DistanceMm, 0)} mm from the middle{(pith.Boxed ? ", inside the section" : "")}");
        }

        if (m.Grain is { } grain)
            yield return ("Slope of grain", $"{Slope(grain.OneIn)}, from {(grain.Basis == GrainBasis.RingLines ? "ring lines" : "fibre streaks")}");
        yield return ("Blemishes", m.Blemishes.Count == 0 ? "none found" : string.Join("; ", m.Blemishes.Select((b, i) => $"{i + 1}. {BlemishWords.From(b.Kind)} {b.Probability:P0}, {b.DiameterMm.Value:0.0} mm")));
        if (m.Size is { } size)
            yield return ("Size", $"{size.FirstSideMm.Value:0.0} x {size.SecondSideMm.Value:0.0} mm");
        yield return ("Scale", $"{Interval(m.Scale.PixelsPerMm, 2)} px/mm from {m.Scale.Kind}{(m.Scale.Unit is { } unit ? $" ({unit})" : "")}");
        yield return ("Time", $"{m.TimingsMs.Values.Sum():0} ms ({string.Join(", ", m.TimingsMs.Select(t => $"{t.Key} {t.Value:0}"))})");
    }

    private static void List(StringBuilder text, string title, IEnumerable<string> items)
    {
        var all = items.ToList();
        if (all.Count == 0)
            return;
        text.AppendLine($"\n{title}");
        foreach (var item in all)
            text.AppendLine($"  - {item}");
    }

    /// <summary>The ends are rounded outwards, as on the picture: an interval must not shrink in print.</summary>
    private static string Interval(Measured m, int decimals)
    {
        var step = Math.Pow(10, decimals);
        var (low, high) = (Math.Floor((m.Low * step) + 1e-9) / step, Math.Ceiling((m.High * step) - 1e-9) / step);
        return $"{m.Value.ToString("F" + decimals)} ({low.ToString("F" + decimals)} to {high.ToString("F" + decimals)})";
    }

    private static string Slope(OneIn n) =>
        $"{Steep(n.Value)} ({Steep(n.Low is { } low ? Math.Floor(10 * low) / 10 : null)} to {Steep(n.High is { } high ? Math.Ceiling(10 * high) / 10 : null)})";

    private static string Steep(double? n) => n is { } value ? $"1:{value:0.0}" : "flat";
}
