using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Measuring;
using GrainVision.Measuring.Networks;
using GrainVision.Measuring.Surfaces;
using GrainVision.Synthesis;

namespace GrainVision.DecisionFit;

/// <summary>Draws surfaces, has the product's own stage look at them and at the real ones, grows the trees, fits the decision and writes it beside the network.</summary>
internal static class FitCommand
{
    private const string Usage = """
        Fits what follows the surface network: trees that say what a region is, and the one decision on a surface. Writes regions.zip, decision.json, decision.sha256, decision.md.

          --model DIR        folder with model.onnx and classes.json, and where the result goes to   (models/surface/1)
          --fixtures DIR     real pictures                                                              (fixtures)
          --trees N          drawn surfaces that the trees are grown on, from seed 300000 on             (800)
          --decision N       drawn surfaces that the decision is fitted to, from seed 310000 on          (1600)
          --figures N        drawn surfaces for the figures, from seed 320000 on                        (100)
          --threads N        surfaces looked at at once; the result does not depend on it               (2)
          --rows FILES       keeps what was looked at; where they are all there (names with commas between), nothing is drawn and all are fitted to
          --skip N           leaves out the first N drawn surfaces of each use and all real ones, and only looks: to add to rows that are there
        """;

    private const double Delta = 0.05;

    /// <summary>
    /// 0.5: share of clear surfaces that must be left without a question; the strictest level that leaves so many is taken, or else the last. A question costs a look with the lens, and
    /// all marks of a surface are one question; a missed crack may cost a life.
    /// </summary>
    private const double Usable = 0.5;

    public static int Run(string[] args, TextWriter output, Stopwatch clock)
    {
        if (args.Contains("--help"))
        {
            output.WriteLine(Usage);
            return 0;
        }

        string Option(string name, string otherwise) => Array.IndexOf(args, "--" + name) is >= 0 and var i && i + 1 < args.Length ? args[i + 1] : otherwise;
        int Number(string name, int otherwise) => int.Parse(Option(name, otherwise.ToString(CultureInfo.InvariantCulture)), CultureInfo.InvariantCulture);
        OpenCvSharp.Cv2.SetNumThreads(1);
        var folder = Option("model", Path.Combine("models", "surface", "1"));
        var model = File.ReadAllBytes(Path.Combine(folder, "model.onnx"));
        var hash = EmbeddedModel.HashOf(model);
        using var network = OnnxNetwork.Load(model, hash);
        var surface = new SurfaceNetwork(network, MarkClasses.ReadNames(File.ReadAllBytes(Path.Combine(folder, "classes.json"))));

        var kept = Option("rows", "");
        List<SurfaceRow> rows;
        var skip = Number("skip", 0);
        if (kept.Length > 0 && kept.Split(',').All(File.Exists))
        {
            // By seed, real ones last: in the order of one run, whatever files they were kept in.
            rows = [.. kept.Split(',').SelectMany(RowFile.Read).OrderByDescending(r => r.Surface.Drawn).ThenBy(r => r.Surface.Drawn ? r.Surface.Name : "", StringComparer.Ordinal)];
        }
        else
        {
            var drawn = new[] { (300_000, "trees", 800, Use.Trees), (310_000, "decision", 1600, Use.Decision), (320_000, "figures", 100, Use.Figures) }
                .SelectMany(d => Drawn(d.Item1, Number(d.Item2, d.Item3), d.Item4).Skip(skip));
            var real = RealSurfaces.All(Option("fixtures", "fixtures")).Where(_ => skip == 0).Select(s => (Func<KnownSurface>)(() => s));
            rows = [.. drawn.Concat(real).AsParallel().AsOrdered().WithDegreeOfParallelism(Number("threads", 2)).WithMergeOptions(ParallelMergeOptions.NotBuffered)
                .Select(make => SurfaceRow.Look(make(), surface)).OfType<SurfaceRow>()];
            if (kept.Length > 0)
                RowFile.Write(kept, rows);
        }

        output.WriteLine($"{rows.Count} surfaces, {rows.Sum(r => r.Regions.Count)} regions, {clock.Elapsed.TotalSeconds:F0} s");
        if (skip > 0)
            return 0;
        Fit(rows, hash, folder, output);
        output.WriteLine($"{clock.Elapsed.TotalSeconds:F0} s");
        return 0;
    }

    /// <summary>Surfaces for figures are what a seed gives, as everywhere else; the others hold each kind about as often.</summary>
    private static IEnumerable<Func<KnownSurface>> Drawn(int from, int count, Use use) => Enumerable.Range(from, count)
        .Select(seed => (Func<KnownSurface>)(() => DrawnSurfaces.Make(use == Use.Figures ? DrawnSurfaces.PlainRequest(seed) : EveryKind.Request(seed), use)));

    private static void Fit(List<SurfaceRow> rows, string network, string folder, TextWriter output)
    {
        byte[] Grow(Func<KnownSurface, bool> takes) => TreeTrainer.Grow(
            [.. rows.Where(r => takes(r.Surface)).SelectMany(r => r.Regions.Where(c => c.Class >= 0).Select(c => (c, r.Surface.Drawn ? 1 : RealWeight)))]);
        var grown = Grow(s => s.Use is Use.Trees or Use.Crossed);
        byte[][] halves = [.. new[] { 0, 1 }.Select(half => Grow(s => s.Use == Use.Trees || (s.Use == Use.Crossed && s.Half != half)))];
        byte[] TreesFor(KnownSurface s) => s.Use == Use.Crossed ? halves[s.Half] : grown;

        var fitting = rows.Where(r => r.Surface.Use is Use.Decision or Use.Crossed).ToList();
        var none = SurfaceDecision.None(network);
        var scores = fitting.GroupBy(r => TreesFor(r.Surface)).SelectMany(g =>
        {
            var cases = g.SelectMany(r => r.Regions).Where(c => c.Class >= 0).ToList();
            return RegionTrees.Load(g.Key, Json(none)).Classify([.. cases.Select(c => c.Features)]).Zip(cases, (s, c) => (s, c.Class));
        }).ToList();
        var decision = none with { Factor = TreeTrainer.Factor(scores) };

        List<double> Scores(Func<KnownSurface, bool> takes, Func<RegionTrees, SurfaceRow, double> score) =>
        [
            .. fitting.Where(r => takes(r.Surface)).GroupBy(r => TreesFor(r.Surface)).SelectMany(g =>
            {
                var trees = RegionTrees.Load(g.Key, Json(decision));
                return g.Select(r => score(trees, r)).ToList();
            }),
        ];
        var blemished = Scores(s => s.Marks.Any(m => m.Counts), Score);
        var clear = Scores(s => s.Marks.Count == 0, Likeliest);
        double WithoutQuestion(RiskControl.Chosen c) => (double)clear.Count(s => s < c.AskFrom) / Math.Max(1, clear.Count);
        var levels = RiskControl.ChooseEach(blemished, Delta);
        var chosen = levels.FirstOrDefault(c => WithoutQuestion(c) >= Usable, levels[^1]);
        decision = decision with { AskFrom = chosen.AskFrom, Alpha = chosen.Alpha, Delta = Delta, Blemished = blemished.Count, CalledClear = chosen.Missed };

        var settings = Json(decision);
        File.WriteAllBytes(Path.Combine(folder, "regions.zip"), grown);
        File.WriteAllBytes(Path.Combine(folder, "decision.json"), settings);
        File.WriteAllText(Path.Combine(folder, "decision.sha256"), $"{EmbeddedModel.HashOf(grown)}  regions.zip\n{EmbeddedModel.HashOf(settings)}  decision.json\n");
        var card = DecisionCard.Write(decision, [.. levels.Select(c => (c, WithoutQuestion(c)))], new Figures(RegionTrees.Load(grown, settings)), rows);
        File.WriteAllText(Path.Combine(folder, "decision.md"), card);
        output.WriteLine(card);
    }

    /// <summary>The greatest probability among a surface's marks that are blemishes and resolved: below the threshold none of them is asked about.</summary>
    private static double Score(RegionTrees trees, SurfaceRow row) =>
        row.Regions.Zip(trees.Classify([.. row.Regions.Select(r => r.Features)]))
            .Where(x => x.First.On.Any(k => row.Surface.Marks[k].Counts)).Select(x => 1 - x.Second[BlemishClasses.None]).DefaultIfEmpty(0).Max();

    /// <summary>The greatest probability among all marks.</summary>
    private static double Likeliest(RegionTrees trees, SurfaceRow row) =>
        trees.Classify([.. row.Regions.Select(r => r.Features)]).Select(p => 1 - p[BlemishClasses.None]).DefaultIfEmpty(0).Max();

    /// <summary>6: what a region of a real face weighs; there are few of them, and drawn wood is no proof.</summary>
    private const float RealWeight = 6;

    private static readonly JsonSerializerOptions Indented = new(ContractJson.Options) { WriteIndented = true };

    private static byte[] Json(SurfaceDecision decision) => JsonSerializer.SerializeToUtf8Bytes(decision, Indented);
}
