using System.Diagnostics;
using System.Globalization;
using GrainVision.Grading.Rules;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>Runs the pipeline over synthetic photos and prints how far it is from the truth.</summary>
internal static class AccuracyCommand
{
    private const string Usage = """
        Measures synthetic photos and compares with their truth.

          --seeds 1-100                    which photos
          --view end|face|mixed            (mixed)
          --difficulty easy|medium|hard|mixed  (mixed)
          --told nothing|outline|pitch|size  what the pipeline is told: nothing, the outline, px/mm, the outline and its size  (nothing)
          --megapixels N                   (2)
          --scale none|mm|inch|card        what lies beside the piece  (from the seed)
          --html FILE                      the worst cases as pictures
          --list                           a line a photo
          --check-target DIR               instead: photos of every listed check target, measured; kept in that folder
          --locked                         allow the locked seeds 900000-909999: for final figures only, never for tuning
        """;

    public static int Run(string[] args, TextWriter output, TextWriter errors, Stopwatch clock)
    {
        var options = new Dictionary<string, string>();
        for (var i = 0; i < args.Length; i++)
        {
            var key = args[i].TrimStart('-');
            options[key] = key is "list" or "locked" or "help" ? "" : i + 1 < args.Length ? args[++i] : "";
        }

        if (options.ContainsKey("help") || !options.TryGetValue("seeds", out var range))
        {
            output.WriteLine(Usage);
            return options.ContainsKey("help") ? 0 : 2;
        }

        var ends = range.Split('-').Select(s => int.Parse(s, CultureInfo.InvariantCulture)).ToArray();
        if (!options.ContainsKey("locked") && ends[^1] >= SynthesisCommand.LockedFrom && ends[0] <= SynthesisCommand.LockedTo)
        {
            errors.WriteLine("These seeds are locked: say --locked for final figures, and never tune to them.");
            return 2;
        }

        if (options.TryGetValue("check-target", out var folder))
        {
            var rule = options.GetValueOrDefault("scale") switch { "mm" => ScaleProp.MmRule, "inch" => ScaleProp.InchRule, _ => ScaleProp.None };
            CheckTargetTrials.Run(ends[0], ends[^1], double.Parse(options.GetValueOrDefault("megapixels", "3"), CultureInfo.InvariantCulture), rule, folder.Length > 0 ? folder : null, output);
            return 0;
        }

        var told = options.GetValueOrDefault("told", "nothing") switch { "outline" => Told.Outline, "pitch" => Told.Pitch, "size" => Told.OutlineAndSize, _ => Told.Nothing };
        RuleBooks.Embedded.TryGet("spar", out var book);
        var score = new Score();
        for (var seed = ends[0]; seed <= ends[^1]; seed++)
        {
            var trial = Trial.Run(SynthesisCommand.Request(seed, options), told, book);
            score.Add(trial);
            if (options.ContainsKey("list"))
                output.WriteLine(Report.Line(trial));
        }

        output.WriteLine(Report.Table(score));
        if (options.TryGetValue("html", out var html))
            File.WriteAllText(html, WorstCases.Html(score));
        output.WriteLine($"{score.Trials.Count} photos in {clock.Elapsed.TotalSeconds:0} s");
        return 0;
    }
}
