using System.Diagnostics;
using System.Globalization;
using System.Text;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>The tables of RESULTS.md: every seed at each difficulty, as an end and as a face, by quantity, difficulty and ring fineness.</summary>
internal static class FullReport
{
    /// <summary>Locked seeds of one class start this far after those of the one before: no piece is used twice.</summary>
    private const int ClassStep = 1000;

    private static readonly Difficulty[] Difficulties = [Difficulty.Easy, Difficulty.Medium, Difficulty.Hard];

    public static int Run(AccuracyOptions options, string results, TextWriter output, TextWriter errors, Stopwatch clock)
    {
        var requests = Requests(options);
        var trials = new Trial?[requests.Count];
        RuleBookSet.Embedded.TryGet("spar", out var book);
        var done = 0;
        Parallel.For(0, requests.Count, new ParallelOptions { MaxDegreeOfParallelism = (int)options.Number("workers", 2) }, i =>
        {
            // Pictures are only drawn where a page of the worst cases is asked for: hundreds of them would fill the memory.
            trials[i] = Trial.Run(requests[i], options.Told, book, draw: options.Has("html"));
            if (Interlocked.Increment(ref done) is var n && n % 20 == 0)
                errors.WriteLine($"{n} of {requests.Count} photos, {clock.Elapsed.TotalSeconds:0} s");
        });
        List<Trial> all = [.. trials.OfType<Trial>()];
        var text = Tables(all, How(options, requests));
        output.WriteLine(text);
        foreach (var t in all.Where(t => t.Answer?.Verdict is { Outcome: VerdictOutcome.Accept } && TruthVerdict.Broken(t.Truth, book!).Count > 0))
            output.WriteLine($"WRONG ACCEPT, look at it: seed {t.Truth.Seed} {t.Truth.View} {t.Truth.Conditions.Difficulty}: {string.Join("; ", TruthVerdict.Broken(t.Truth, book!))}");
        if (options.Text("html") is { } html)
            File.WriteAllText(html, WorstCases.Html(Score.Compute(all)));
        return ResultsFile.Write(results, "accuracy", text, errors);
    }

    private static List<SceneRequest> Requests(AccuracyOptions options)
    {
        var requests = new List<SceneRequest>();
        var asked = options.Seeds("seeds");
        for (var i = 0; i < 2 * Difficulties.Length; i++)
        {
            var first = SynthesisCommand.LockedFrom + (i * ClassStep);
            var seeds = asked.Count > 0 ? asked : [.. Enumerable.Range(first, (int)options.Number("count", 60))];
            requests.AddRange(seeds.Select(seed => new SceneRequest
            {
                Seed = seed,
                View = i < Difficulties.Length ? View.End : View.Face,
                Difficulty = Difficulties[i % Difficulties.Length],
                Megapixels = options.Number("megapixels", 2),
            }));
        }

        return requests;
    }

    private static string How(AccuracyOptions options, List<SceneRequest> requests)
    {
        var told = options.Told switch
        {
            Told.Outline => "The outline was given, the scale found in the photo.",
            Told.Pitch => "The scale was given, the outline found in the photo.",
            Told.OutlineAndSize => "The outline and its size were given.",
            _ => "Nothing was given: outline and scale were found in the photo.",
        };
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{requests.Count} synthetic photos of {options.Number("megapixels", 2):0.#} MP, seeds {requests.Min(r => r.Seed)} to {requests.Max(r => r.Seed)}, half ends and half faces, a third of each difficulty. {told}");
    }

    /// <summary>The tables in Markdown.</summary>
    public static string Tables(IReadOnlyList<Trial> trials, string how)
    {
        var text = new StringBuilder(how).Append("\n\n");
        var all = Score.Compute(trials);
        text.Append("| what | target | given | bias | half within | 90 % within | worst | within target | 95 % interval holds |\n|---|---|---|---|---|---|---|---|---|\n");
        foreach (var row in all.Quantities)
            text.Append(row.Full(all.Asked(row))).Append('\n');
        text.Append(CultureInfo.InvariantCulture, $"| boundaries, F1 at 0.15 mm | 0.98 | {all.PerInch.Count} of {all.Ends} | | | | | {all.BoundaryF1:0.000} | |\n");
        text.Append(CultureInfo.InvariantCulture, $"| knots of 3 mm and more found on faces | 98 % | {all.KnotsFound} of {all.Knots} | | | | | {Percent(all.KnotsFound, all.Knots)} | |\n");
        text.Append(CultureInfo.InvariantCulture, $"| false blemishes a face | 0.1 | {all.FacesMeasured} faces | | | | | {(all.FacesMeasured == 0 ? 0 : all.FalseBlemishes / (double)all.FacesMeasured):0.0} | |\n");
        var (faults, right) = (all.Outlines.Where(o => o.Mm > OutlineError.FaultMm).ToList(), all.Outlines.Where(o => o.Mm <= OutlineError.RightMm).ToList());
        text.Append(CultureInfo.InvariantCulture, $"| outlines with a side off by over 2 mm, and nothing said | 0 | {faults.Count} of {all.Outlines.Count} off | | | | | {faults.Count(o => !o.Doubted)} | |\n");
        text.Append(CultureInfo.InvariantCulture, $"| outlines right within 1 mm, but doubted | | {right.Count} right | | | | | {right.Count(o => o.Doubted)} | |\n");
        text.Append(CultureInfo.InvariantCulture, $"| accepted by the spar book though the truth breaks it | 0 | {all.Accepts} accepts | | | | | {all.FalseAccepts} | |\n\n");

        text.Append("90 % within (and how often the 95 % interval holds), by difficulty and by ring fineness (rings per inch):\n\n");
        (string Name, Score Score)[] groups =
        [
            .. Difficulties.Select(d => (d.ToString().ToLowerInvariant(), Score.Compute(trials.Where(t => t.Truth.Conditions.Difficulty == d)))),
            ("4-8 rings", Fineness(0, 8)), ("8-16 rings", Fineness(8, 16)), ("16-30 rings", Fineness(16, 1000)),
        ];
        text.Append("| what | ").AppendJoin(" | ", groups.Select(g => g.Name)).Append(" |\n|---|").Append(string.Concat(Enumerable.Repeat("---|", groups.Length))).Append('\n');
        for (var i = 0; i < all.Quantities.Count; i++)
            text.Append($"| {all.Quantities[i].Name}, {all.Quantities[i].Unit} | ").AppendJoin(" | ", groups.Select(g => g.Score.Quantities[i].Short())).Append(" |\n");
        text.Append("| boundaries, F1 | ").AppendJoin(" | ", groups.Select(g => g.Score.BoundaryF1.ToString("0.000", CultureInfo.InvariantCulture))).Append(" |\n");
        text.Append("| knots found | ").AppendJoin(" | ", groups.Select(g => Percent(g.Score.KnotsFound, g.Score.Knots))).Append(" |\n");
        text.Append("| rings given, of ends | ").AppendJoin(" | ", groups.Select(g => $"{g.Score.PerInch.Count} of {g.Score.Ends}")).Append(" |\n");
        text.Append("| slope given, of faces | ").AppendJoin(" | ", groups.Select(g => $"{g.Score.SlopeEdge.Count + g.Score.SlopeFlat.Count} of {g.Score.Faces}")).Append(" |\n");
        text.Append("| refused, of photos | ").AppendJoin(" | ", groups.Select(g => $"{g.Score.Trials.Count(t => t.Refusal is not null)} of {g.Score.Trials.Count}")).Append(" |\n\n");
        text.Append("Refused: ").AppendJoin(", ", Counts(trials.Where(t => t.Refusal is not null).Select(t => t.Refusal!.Code))).Append(".\n");
        text.Append("Cannot say: ").AppendJoin(", ", Counts(trials.Where(t => t.Answer is not null).SelectMany(t => t.Answer!.CannotSay.Select(c => c.Subject).Distinct()))).Append('.');
        return text.ToString();

        Score Fineness(double from, double to) => Score.Compute(trials.Where(t => t.Truth.PerInch() >= from && t.Truth.PerInch() < to));
    }

    private static IEnumerable<string> Counts(IEnumerable<string> words) =>
        words.GroupBy(w => w).OrderByDescending(g => g.Count()).Select(g => $"{g.Key} {g.Count()}").DefaultIfEmpty("none");

    private static string Percent(int part, int whole) => whole == 0 ? "-" : (100.0 * part / whole).ToString("0", CultureInfo.InvariantCulture) + " %";

    /// <summary>Rings per inch of a photo: along the path of an end, near the middle of a face.</summary>
    private static double PerInch(this PhotoTruth truth) => 25.4 * truth.Scale.PixelsPerMm / truth.Conditions.PxPerRing;
}
