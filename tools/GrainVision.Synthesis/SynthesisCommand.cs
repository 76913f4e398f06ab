using System.Diagnostics;
using System.Globalization;
using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>The command line: a range of seeds to photos and truths in a folder.</summary>
public static class SynthesisCommand
{
    /// <summary>Seeds kept for the final accuracy figures; nobody tunes to them.</summary>
    public const int LockedFrom = 900_000;

    public const int LockedTo = 909_999;

    private const string Usage = """
        Makes photos of wood with known truth: seed-NNNN.jpg and seed-NNNN.json.

          --seeds 1-200 | 7 | 3,9,20-30   which ones; the same seed gives the same bytes
          --out DIR                       where to
          --view end|face|mixed           mixed: every second seed a face         (mixed)
          --difficulty easy|medium|hard|mixed                                      (mixed)
          --megapixels N                  size of the photos                       (2)
          --species NAME                  kebab-case common name                   (from the seed)
          --scale none|mm|inch|card       what lies beside the piece               (from the seed)
          --rule-parts N                  with --scale inch: parts of an inch, 20 to 60 by tens for an engineer's scale
          --rings N                       rings per inch                           (from the seed)
          --exif 1|3|6|8                  pixels stored turned, with that EXIF orientation (none)
          --variety                       rarer woods, marks and blemishes besides, drawn from a stream of their own
          --every-kind                    each kind of blemish about as often; view, difficulty, size and variety from the seed
          --blemish KIND                  check, shake-or-split, pitch-pocket ...: one of that kind                (from the seed)
          --masks                         seed-NNNN-mask.png as well: what is painted where, key in the truth
          --plain                         bare geometry: no dirt, saw marks, uneven light, wobble
          --png                           PNG instead of JPEG
          --overlay                       a second picture with the truth drawn over it
          --locked                        allow seeds 900000-909999, kept for final figures
        """;

    /// <summary>Runs the command. 0: done; 2: wrong arguments.</summary>
    public static int Run(string[] args, TextWriter output, TextWriter errors, Stopwatch clock)
    {
        ArgumentNullException.ThrowIfNull(args);
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(errors);
        ArgumentNullException.ThrowIfNull(clock);
        try
        {
            var options = Parse(args);
            if (options.ContainsKey("help") || !options.ContainsKey("seeds") || !options.ContainsKey("out"))
            {
                output.WriteLine(Usage);
                return options.ContainsKey("help") ? 0 : 2;
            }

            Make(options, output, clock);
            return 0;
        }
        catch (ArgumentException e)
        {
            errors.WriteLine(e.Message);
            return 2;
        }
    }

    private static void Make(Dictionary<string, string> options, TextWriter output, Stopwatch clock)
    {
        var seeds = Seeds(options["seeds"]);
        if (!options.ContainsKey("locked") && seeds.Any(s => s is >= LockedFrom and <= LockedTo))
            throw new ArgumentException($"Seeds {LockedFrom}-{LockedTo} are kept for final figures. Say --locked to use them, and never tune to them.");
        var folder = Directory.CreateDirectory(options["out"]).FullName;
        foreach (var seed in seeds)
        {
            var name = Path.Combine(folder, $"seed-{seed:D4}");
            var request = Request(seed, options);
            var photo = options.ContainsKey("masks") ? WithMask(request, name) : Synthesiser.Make(request);
            if (options.ContainsKey("png"))
                File.WriteAllBytes(name + ".png", photo.ToPng());
            else
                File.WriteAllBytes(name + ".jpg", options.TryGetValue("exif", out var turn) ? photo.ToTurnedJpeg((int)Number(turn, 1, 8)) : photo.ToJpeg());
            if (options.ContainsKey("overlay"))
                File.WriteAllBytes(name + "-truth.png", TruthOverlay.Png(photo));
            var truth = request.Variety ? photo.Truth with { Variety = true } : photo.Truth;
            File.WriteAllText(name + ".json", Synthesiser.ToJson(truth));
        }

        output.WriteLine($"{seeds.Count} photos in {clock.Elapsed.TotalSeconds:F1} s, {clock.Elapsed.TotalMilliseconds / seeds.Count:F0} ms each: {folder}");
    }

    /// <summary>Writes the mask beside the photo and its key into the truth.</summary>
    private static SynthesisedPhoto WithMask(SceneRequest request, string name)
    {
        var (photo, mask) = Synthesiser.RenderWithMask(SceneBuilder.Build(request));
        var (png, combinations) = mask.ToPng();
        File.WriteAllBytes(name + "-mask.png", png);
        return photo with { Truth = photo.Truth with { Mask = new MaskTruth(Path.GetFileName(name) + "-mask.png", PaintedClasses.Names, combinations) } };
    }

    /// <summary>What the command makes of a seed: also how other programs get the same photo without files.</summary>
    public static SceneRequest Request(int seed, IReadOnlyDictionary<string, string> options)
    {
        ArgumentNullException.ThrowIfNull(options);
        string Get(string key, string otherwise) => options.TryGetValue(key, out var value) ? value : otherwise;
        ScaleProp? scale = Get("scale", "") switch
        {
            "" => null,
            "none" => ScaleProp.None,
            "mm" => ScaleProp.MmRule,
            "inch" => ScaleProp.InchRule,
            "card" => ScaleProp.Card,
            var v => throw new ArgumentException($"--scale is none, mm, inch or card, not {v}."),
        };
        if (options.ContainsKey("every-kind"))
            return EveryKind.Request(seed) with { Scale = scale };
        return new SceneRequest
        {
            Seed = seed,
            View = Get("view", "mixed") switch
            {
                "end" => View.End,
                "face" => View.Face,
                "mixed" => seed % 2 == 1 ? View.End : View.Face,
                var v => throw new ArgumentException($"--view is end, face or mixed, not {v}."),
            },
            Difficulty = Get("difficulty", "mixed") switch
            {
                "easy" => Difficulty.Easy,
                "medium" => Difficulty.Medium,
                "hard" => Difficulty.Hard,
                "mixed" => (Difficulty)(seed / 2 % 3),
                var v => throw new ArgumentException($"--difficulty is easy, medium, hard or mixed, not {v}."),
            },
            Megapixels = Number(Get("megapixels", "2"), 0.2, 64),
            Species = options.TryGetValue("species", out var species) ? SpeciesLook.Of(species).Name : null,
            Scale = scale,
            RulePartsPerInch = options.TryGetValue("rule-parts", out var parts) ? (int)Number(parts, 8, 100) : null,
            RingsPerInch = options.TryGetValue("rings", out var rings) ? Number(rings, 2, 60) : null,
            Blemishes = options.TryGetValue("blemish", out var kind) ? [Blemish(kind)] : null,
            Plain = options.ContainsKey("plain"),
            Variety = options.ContainsKey("variety"),
        };
    }

    private static BlemishKind Blemish(string kebab) => Enum.TryParse<BlemishKind>(kebab.Replace("-", "", StringComparison.Ordinal), ignoreCase: true, out var kind)
        ? kind
        : throw new ArgumentException($"--blemish is a kind of blemish such as shake-or-split, not {kebab}.");

    private static Dictionary<string, string> Parse(string[] args)
    {
        string[] flags = ["plain", "variety", "every-kind", "masks", "png", "overlay", "locked", "help"];
        string[] values = ["seeds", "out", "view", "difficulty", "megapixels", "species", "scale", "rule-parts", "rings", "exif", "blemish"];
        var options = new Dictionary<string, string>();
        for (var i = 0; i < args.Length; i++)
        {
            var key = args[i].StartsWith("--", StringComparison.Ordinal) ? args[i][2..] : throw new ArgumentException($"Not understood: {args[i]}. See --help.");
            if (flags.Contains(key))
                options[key] = "";
            else if (values.Contains(key) && i + 1 < args.Length)
                options[key] = args[++i];
            else
                throw new ArgumentException($"Not understood: --{key}. See --help.");
        }

        return options;
    }

    private static List<int> Seeds(string text)
    {
        var seeds = new List<int>();
        foreach (var part in text.Split(','))
        {
            var ends = part.Split('-');
            if (ends.Length > 2 || !int.TryParse(ends[0], NumberStyles.None, CultureInfo.InvariantCulture, out var from)
                || !int.TryParse(ends[^1], NumberStyles.None, CultureInfo.InvariantCulture, out var to) || to < from || to - from > 100_000)
                throw new ArgumentException($"--seeds is a list such as 7 or 1-200 or 3,9,20-30, not {text}.");
            seeds.AddRange(Enumerable.Range(from, to - from + 1));
        }

        return seeds;
    }

    private static double Number(string text, double least, double greatest) =>
        double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && value >= least && value <= greatest
            ? value
            : throw new ArgumentException($"{text} is not a number from {least} to {greatest}.");
}
