using System.Diagnostics;
using GrainVision.Accuracy.Real;
using GrainVision.Accuracy.Rules;
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
          --megapixels N                   (2; failing pieces 1)
          --scale none|mm|inch|card        what lies beside the piece  (from the seed)
          --html FILE                      the worst cases as pictures
          --ring-angle                     faces: the true ring angle is told too, as the ends of a piece would
          --list                           a line a photo
          --locked                         allow the locked seeds 900000-909999: for final figures only, never for tuning

        Instead of that:
          --write-results FILE             every seed at each difficulty as end and as face; the tables between the file's
                                           accuracy:begin and accuracy:end comments are written anew. --locked without --seeds
                                           takes --count seeds of each class from the locked range (60: 360 photos).  --workers N (2)
          --failing --seeds 20000-20999    pieces made to break one limit each: counts the accepted ones, which must be none
            --good 21000-21199             also pieces with nothing wrong: how many are held
            --keep FILE --out DIR          results so far (a broken run goes on from there); photos of false accepts
            --write-results FILE           its table between false-accepts:begin and false-accepts:end
          --inspector --good 300000-300099 --failing 310000-310499
                                           whole pieces: photographed, measured, judged, every question answered from the truth
            --keep FILE --list --workers N what became of each piece (a broken run goes on from there); why good ones are not accepted
            --write-results FILE           its table between inspector:begin and inspector:end
          --gate FILE                      the small set of the tests against the best figures so far; 1 where one is worse
            --update                       write the file anew where figures are better; it never gets worse
            --real                         the few real pictures instead (fixtures/real-gate.json)
          --real                           every real picture of fixtures/ with known facts, and real pictures against themselves
            --write-results FILE           its table between real:begin and real:end.  --workers N (2)
          --calibrate models/intervals/1 --seeds 120000-120179
                                           fits the factors on intervals to seeds that nothing else was tuned to, and writes their card
          --check-target DIR --seeds 1-2   photos of every listed check target, measured; kept in that folder
            --scale mm|inch                  by a steel rule on the sheet instead of its card
            --printed-at 0.97                as a printer that scaled the page would print it  (1)
          --rules open|held-out|all|STYLE --seeds 1-40
                                           drawn photos of rules; open styles may be tuned to, held-out ones never
            --out DIR --list --worst 20      the photos; a line a photo; so many of the worst.  --workers N (2)
            --photo FILE [--unit mm|inch]    one photo instead
            --write-results FILE             its table between rules-open:begin and rules-open:end, or rules-held-out
        """;

    public static int Run(string[] args, TextWriter output, TextWriter errors, Stopwatch clock)
    {
        var options = new AccuracyOptions(args);
        var needsSeeds = !options.Has("gate") && !options.Has("real") && !options.Has("photo") && !options.Has("inspector") && !(options.Has("write-results") && options.Has("locked"));
        if (options.Has("help") || (needsSeeds && !options.Has("seeds")))
        {
            output.WriteLine(Usage);
            return options.Has("help") ? 0 : 2;
        }

        if (options.TouchesLocked)
        {
            errors.WriteLine("These seeds are locked: say --locked for final figures, and never tune to them.");
            return 2;
        }

        if (options.Has("inspector"))
            return InspectorRun.Run(options, output, errors);
        if (options.Text("gate") is { } gate)
            return Gate.Run(gate, options.Has("update"), output, options.Has("real") ? RealGate.Measure : Gate.Measure);
        if (options.Has("real"))
            return RealReport.Run(options, output, errors);
        if (options.Has("rules"))
            return RuleReport.Run(options, output, errors);
        if (options.Text("check-target") is { } folder)
        {
            var rule = options.Text("scale") switch { "mm" => ScaleProp.MmRule, "inch" => ScaleProp.InchRule, _ => ScaleProp.None };
            CheckTargetTrials.Run(options.Seeds("seeds"), options.Number("megapixels", 3), rule, options.Number("printed-at", 1), folder, output);
            return 0;
        }

        if (options.Text("calibrate") is { } calibration)
            return Calibrator.Run(options, calibration, output, errors);
        if (options.Has("failing"))
            return Failing(options, output, errors);
        if (options.Text("write-results") is { } results)
            return FullReport.Run(options, results, output, errors, clock);
        Plain(options, output, clock);
        return 0;
    }

    private static int Failing(AccuracyOptions options, TextWriter output, TextWriter errors)
    {
        Told? told = options.Has("told") ? options.Told : null;
        var table = FalseAccepts.Run(
            options.Seeds("seeds"), options.Seeds("good"), told, options.Number("megapixels", 1), (int)options.Number("workers", 2), options.Text("keep"), options.Text("out"), errors);
        output.WriteLine(table);
        return options.Text("write-results") is { } results ? ResultsFile.Write(results, "false-accepts", table.Split("\ngood pieces, ")[0].TrimEnd(), errors) : 0;
    }

    private static void Plain(AccuracyOptions options, TextWriter output, Stopwatch clock)
    {
        RuleBookSet.Embedded.TryGet("spar", out var book);
        var score = new Score();
        foreach (var seed in options.Seeds("seeds"))
        {
            var trial = Trial.Run(SynthesisCommand.Request(seed, options.All), options.Told, book, options.Has("ring-angle"), draw: options.Has("html"));
            score.Add(trial);
            if (options.Has("list"))
                output.WriteLine(Report.Line(trial));
        }

        output.WriteLine(Report.Table(score));
        if (options.Text("html") is { } html)
            File.WriteAllText(html, WorstCases.Html(score));
        output.WriteLine($"{score.Trials.Count} photos in {clock.Elapsed.TotalSeconds:0} s");
    }
}
