using System.Globalization;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>Photos of failing pieces measured and judged: how many are accepted, which must be none.</summary>
internal static class FalseAccepts
{
    /// <summary>Result of one piece, a line of the file that a broken run is taken up from.</summary>
    private sealed record Line(int Seed, string Fault, string Outcome, bool Beyond, string? Why);

    /// <param name="seeds">Pieces; each is made to break one limit.</param>
    /// <param name="goodSeeds">Pieces that break none, for balance.</param>
    /// <param name="told">What the pipeline is told; null: nothing for every second piece, outline and size for the others.</param>
    /// <param name="megapixels">Of the photos.</param>
    /// <param name="workers">Photos at a time.</param>
    /// <param name="keep">File of results so far, or null.</param>
    /// <param name="pictures">Folder for photos and answers of false accepts, or null.</param>
    /// <param name="progress">Told of every fiftieth piece.</param>
    public static string Run(
        IReadOnlyList<int> seeds, IReadOnlyList<int> goodSeeds, Told? told, double megapixels, int workers, string? keep, string? pictures, TextWriter progress)
    {
        var done = new Dictionary<(string, int), Line>();
        if (keep is not null && File.Exists(keep))
        {
            foreach (var text in File.ReadLines(keep))
            {
                if (JsonSerializer.Deserialize<Line>(text) is { } line)
                    done[(line.Fault == Good ? Good : "", line.Seed)] = line;
            }
        }

        var todo = seeds.Select(s => ("", s)).Concat(goodSeeds.Select(s => (Good, s))).ToList();
        var wanted = todo.ToHashSet();
        var from = done.Count;
        Parallel.ForEach(todo.Where(t => !done.ContainsKey(t)).ToList(), new ParallelOptions { MaxDegreeOfParallelism = workers }, item =>
        {
            var (kind, seed) = item;
            var tell = told ?? (seed / 10 % 2 == 0 ? Told.Nothing : Told.OutlineAndSize);
            var line = kind == Good ? OneGood(seed, tell, megapixels) : OneFailing(seed, tell, megapixels, pictures);
            lock (done)
            {
                done[item] = line;
                if (keep is not null)
                    File.AppendAllText(keep, JsonSerializer.Serialize(line) + "\n");
                if ((done.Count - from) % 50 == 0)
                    progress.WriteLine($"{done.Count} of {todo.Count}, {done.Values.Count(l => l.Fault != Good && l.Outcome == "accept")} false accepts");
            }
        });
        return Report([.. done.Where(d => wanted.Contains(d.Key)).Select(d => d.Value).OrderBy(l => l.Seed)]);
    }

    private const string Good = "Good";

    private static Line OneFailing(int seed, Told told, double megapixels, string? pictures)
    {
        if (FailingPieces.Make(seed, megapixels) is not { } piece)
            return new Line(seed, ((Fault)(seed % Enum.GetValues<Fault>().Length)).ToString(), "not made", false, null);
        var trial = Trial.Run(piece.Request, told, piece.Book, ruleUnit: true, draw: pictures is not null);
        var verdict = trial.Answer?.Verdict;
        if (verdict?.Outcome != VerdictOutcome.Accept)
            return new Line(seed, piece.Fault.ToString(), Outcome(trial), false, trial.Refusal?.Code);
        var beyond = piece.Broken.Any(b => TruthVerdict.BeyondStated(b, verdict));
        if (pictures is not null)
        {
            var file = Path.Combine(Directory.CreateDirectory(pictures).FullName, $"{piece.Fault}-{seed}");
            File.WriteAllBytes(file + ".jpg", Synthesiser.Make(piece.Request).ToJpeg());
            File.WriteAllBytes(file + "-answer.jpg", trial.Picture!);
        }

        var why = string.Create(
            CultureInfo.InvariantCulture,
            $"{piece.Book.Id}, told {told}, {piece.Request.Difficulty}: truth {string.Join(" | ", piece.Broken.Select(b => b.Text))} ANSWER {string.Join(" | ", verdict.Reasons.Where(r => piece.Broken.Any(b => b.LimitId == r.LimitId)).Select(r => r.Text))} BLEMISHES {Blemishes(trial.Truth)} PHOTO {Accuracy.Report.Line(trial)}");
        return new Line(seed, piece.Fault.ToString(), "accept", beyond, why);
    }

    /// <summary>What was there to be seen: a crack half a pixel wide is a limit of the photo, not of the search.</summary>
    private static string Blemishes(PhotoTruth truth) => string.Join("; ", truth.Blemishes.Select(b => string.Create(
        CultureInfo.InvariantCulture,
        $"{b.Kind} {b.LengthMm:0.0} x {b.WidthMm:0.0} mm, least width {b.DiameterMm:0.00} mm = {b.DiameterMm * truth.Scale.PixelsPerMm:0.0} px, contrast {b.Contrast:0.00}, edge {b.EdgeDistanceMm:0.0} mm")).DefaultIfEmpty("none"));

    private static Line OneGood(int seed, Told told, double megapixels)
    {
        if (FailingPieces.Good(seed, megapixels) is not { } good)
            return new Line(seed, Good, "not made", false, null);
        var trial = Trial.Run(good.Request, told, good.Book, ruleUnit: true);
        var why = trial.Answer?.Verdict is { Outcome: not VerdictOutcome.Accept } v ? string.Join(",", v.Reasons.Where(r => r.Outcome == v.Outcome).Select(r => r.LimitId).Distinct()) : trial.Refusal?.Code;
        return new Line(seed, Good, Outcome(trial), false, why);
    }

    private static string Outcome(Trial trial) => trial.Answer?.Verdict is { } v ? v.Outcome.ToString().ToLowerInvariant() : "refused";

    private static string Report(IReadOnlyList<Line> lines)
    {
        string[] outcomes = ["reject", "hold", "refused", "accept", "not made"];
        var text = new StringBuilder();
        text.AppendLine("| piece made to fail by | pieces | reject | hold | refused | **accept** |");
        text.AppendLine("|---|---|---|---|---|---|");
        var failing = lines.Where(l => l.Fault != Good && l.Outcome != "not made").ToList();
        foreach (var group in failing.GroupBy(l => l.Fault).OrderBy(g => Enum.Parse<Fault>(g.Key)))
            text.AppendLine(Row(Words(group.Key), [.. group]));
        text.AppendLine(Row("all", failing));
        if (lines.Where(l => l.Fault == Good && l.Outcome != "not made").ToList() is { Count: > 0 } good)
            text.AppendLine(Row("for balance: nothing wrong", good));
        text.AppendLine();
        text.AppendLine(CultureInfo.InvariantCulture, $"False accepts: {failing.Count(l => l.Outcome == "accept")} of {failing.Count}; {failing.Count(l => l.Outcome == "accept" && l.Beyond)} of them break a limit by more than the stated uncertainty.");
        foreach (var l in failing.Where(l => l.Outcome == "accept"))
            text.AppendLine($"seed {l.Seed} {l.Fault}{(l.Beyond ? "" : " (within the stated uncertainty)")}: {l.Why}");
        foreach (var g in lines.Where(l => l.Fault == Good && l.Why is not null).SelectMany(l => l.Why!.Split(',').Select(w => $"{l.Outcome}: {w}")).GroupBy(w => w).OrderByDescending(g => g.Count()).Take(12))
            text.AppendLine(CultureInfo.InvariantCulture, $"good pieces, {g.Key}: {g.Count()}");
        return text.ToString();

        string Row(string name, IReadOnlyList<Line> group) =>
            $"| {name} | {group.Count} | {string.Join(" | ", outcomes.Take(4).Select(o => group.Count(l => l.Outcome == o)))} |";
    }

    internal static string Words(string fault) => Enum.Parse<Fault>(fault) switch
    {
        Fault.FewRings => "too few rings per inch",
        Fault.FlatRings => "ring angle too flat",
        Fault.BoxedPith => "boxed pith",
        Fault.CrackOnEnd => "check or split on an end",
        Fault.SteepSlope => "slope of grain too steep",
        Fault.SpiralOnFlatGrain => "spiral grain on a flat-grain face",
        Fault.LargeKnot => "knot over its limit",
        Fault.LooseKnot => "loose knot",
        Fault.LongPocket => "pitch pocket over its limit",
        _ => "check or split on a face",
    };
}
