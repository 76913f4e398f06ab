using System.Globalization;
using System.Text;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Synthesis;
using GrainVision.Synthesis.Rules;

namespace GrainVision.Accuracy.Rules;

/// <summary>Drawn photos of rules of many styles: how many are given, refused, how far off, and how often confidently wrong.</summary>
internal static class RuleReport
{
    public static int Run(AccuracyOptions options, TextWriter output, TextWriter errors)
    {
        if (options.Text("photo") is { } file)
            return One(file, options.Text("unit"), output);
        var styles = options.Text("rules") switch
        {
            "open" => RuleStyles.Open,
            "held-out" => RuleStyles.HeldOut,
            "all" => [.. RuleStyles.Open, .. RuleStyles.HeldOut],
            { } name when Enum.TryParse<RuleStyle>(name, true, out var one) => [one],
            _ => null,
        };
        if (styles is null)
        {
            errors.WriteLine("--rules takes open, held-out, all, or a style: " + string.Join(", ", Enum.GetNames<RuleStyle>()));
            return 2;
        }

        var jobs = options.Seeds("seeds").SelectMany(s => styles.Select(style => (Seed: s, Style: style))).ToArray();
        var trials = new RuleTrial[jobs.Length];
        Parallel.For(0, jobs.Length, new ParallelOptions { MaxDegreeOfParallelism = (int)options.Number("workers", 2) }, i => trials[i] = RuleTrial.Run(jobs[i].Seed, jobs[i].Style, options.Text("out")));
        if (options.Has("list"))
        {
            foreach (var trial in trials)
                output.WriteLine(trial);
        }

        var table = Table(trials);
        output.WriteLine(table);
        output.WriteLine("Refusals: " + string.Join(", ", trials.Where(t => t.Refusal is not null).GroupBy(t => t.Refusal).OrderByDescending(g => g.Count()).Select(g => $"{g.Key} {g.Count()}")));
        output.WriteLine("Worst:");
        foreach (var trial in trials.Where(t => t.Found is not null).OrderByDescending(t => Math.Abs(t.Error!.Value) / t.Found!.Value.StandardUncertainty * t.Found.Value.Value).Take((int)options.Number("worst", 20)))
            output.WriteLine("  " + trial);
        return options.Text("write-results") is { } results ? ResultsFile.Write(results, "rules-" + options.Text("rules"), table, errors) : 0;
    }

    private static int One(string file, string? unit, TextWriter output)
    {
        SteelRuleUnit? told = unit switch { "mm" => SteelRuleUnit.Mm, "inch" => SteelRuleUnit.Inch, _ => null };
        var refusal = RuleTrial.Read(File.ReadAllBytes(file), told, null, out var found, out var held);
        output.WriteLine(refusal ?? string.Create(CultureInfo.InvariantCulture, $"{found.Value:0.000} px/mm, {found.Low:0.000} to {found.High:0.000}{(held ? ", unit assumed" : "")}"));
        return 0;
    }

    private static string Table(RuleTrial[] trials)
    {
        var text = new StringBuilder();
        text.AppendLine("| photos | drawn | refused | of easy and medium | unit assumed (held) | error, half within | 90 % within | worst | 95 % interval holds | its half-width, median | confidently wrong |");
        text.AppendLine("|---|---|---|---|---|---|---|---|---|---|---|");
        Row(text, "all", trials);
        foreach (var group in trials.GroupBy(t => t.Photo.Style))
            Row(text, Words(group.Key), [.. group]);
        Row(text, "whole", [.. trials.Where(t => !t.Photo.Cropped)]);
        Row(text, "cropped", [.. trials.Where(t => t.Photo.Cropped)]);
        foreach (var group in trials.GroupBy(t => t.Photo.Difficulty).OrderBy(g => g.Key))
            Row(text, group.Key.ToString().ToLowerInvariant(), [.. group]);
        foreach (var group in trials.GroupBy(t => t.Photo.Units.Back is null ? $"{Words(t.Photo.Units.Front)} edge" : $"{Words(t.Photo.Units.Front)} and {Words(t.Photo.Units.Back.Value)}").OrderBy(g => g.Key, StringComparer.Ordinal))
            Row(text, group.Key, [.. group]);
        foreach (var (from, to) in (ReadOnlySpan<(double, double)>)[(0, 5), (5, 8), (8, 12), (12, 100)])
            Row(text, to > 50 ? $"over {from} px/mm" : from == 0 ? $"under {to} px/mm" : $"{from} to {to} px/mm", [.. trials.Where(t => t.Photo.PixelsPerMm >= from && t.Photo.PixelsPerMm < to)]);
        Row(text, "shows 30 mm or 2 inches", [.. trials.Where(t => t.ShowsEnough)]);
        Row(text, "shows less", [.. trials.Where(t => !t.ShowsEnough)]);
        Row(text, "unit told", [.. trials.Where(t => t.Told)]);
        Row(text, "unit not told", [.. trials.Where(t => !t.Told)]);
        return text.ToString().TrimEnd();
    }

    private static void Row(StringBuilder text, string name, RuleTrial[] trials)
    {
        if (trials.Length == 0)
            return;
        var given = trials.Where(t => t.Found is not null).ToList();
        var good = trials.Where(t => t.Photo.Difficulty != Difficulty.Hard).ToList();
        var errors = given.Select(t => 100 * Math.Abs(t.Error!.Value)).Order().ToArray();
        var widths = given.Select(t => 100 * (t.Found!.Value.High - t.Found.Value.Low) / (2 * t.Found.Value.Value)).Order().ToArray();
        text.AppendLine(CultureInfo.InvariantCulture, $"| {name} | {trials.Length} | {Share(trials.Length - given.Count, trials.Length)} | {Share(good.Count(t => t.Found is null), good.Count)} | {given.Count(t => t.IsHeld)}{(given.Any(t => t.IsHeld && t.IsWrong) ? $" ({given.Count(t => t.IsHeld && t.IsWrong)} wrong)" : "")} | {At(errors, 0.5)} % | {At(errors, 0.9)} % | {At(errors, 1)} % | {Share(given.Count(t => t.Covered == true), given.Count)} | {At(widths, 0.5)} % | {given.Count(t => t.IsConfidentlyWrong)} |");
    }

    private static string Share(int part, int whole) => whole == 0 ? "-" : string.Create(CultureInfo.InvariantCulture, $"{100.0 * part / whole:0} %");

    private static string At(double[] sorted, double q) => sorted.Length == 0 ? "-" : sorted[(int)Math.Round(q * (sorted.Length - 1))].ToString("0.00", CultureInfo.InvariantCulture);

    private static string Words(SteelRuleUnit unit) => unit == SteelRuleUnit.Mm ? "mm" : "inch";

    private static string Words(RuleStyle style) => style switch
    {
        RuleStyle.DarkSteel => "dark steel",
        RuleStyle.SatinSteel => "satin steel",
        RuleStyle.WhitePlastic => "white plastic",
        RuleStyle.Wooden => "wooden",
        RuleStyle.Tape => "tape",
        RuleStyle.Anodised => "anodised (held out)",
        _ => "folding (held out)",
    };
}
