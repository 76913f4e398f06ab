using System.Globalization;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>
/// A small fixed set measured against the best figures reached so far. The file of figures can only get better: a figure is
/// replaced by a better one and never by a worse one.
/// </summary>
public static class Gate
{
    /// <summary>
    /// 1 % of a figure: OpenCV picks its vector code by the processor, and sums then round differently. A change of the measuring that costs more
    /// is a change for the worse.
    /// </summary>
    private const double Slack = 0.01;

    private const int Ends = 12;

    private const int Faces = 8;

    /// <summary>Figures that are better when greater; all others are better when less.</summary>
    private static readonly string[] Rising = ["boundariesF1", "measured"];

    /// <summary>2: of the set's 40-odd intervals 5 % are expected to miss; fewer is luck that a later change need not match.</summary>
    private const int ExpectedMisses = 2;

    private static readonly JsonSerializerOptions Json = new() { WriteIndented = true };

    /// <summary>What got worse, or what is missing; empty where the gate is passed.</summary>
    public static IReadOnlyList<string> Worse(IReadOnlyDictionary<string, double> best, IReadOnlyDictionary<string, double> now)
    {
        var worse = new List<string>();
        foreach (var (name, figure) in best)
        {
            if (!now.TryGetValue(name, out var value))
                worse.Add($"{name}: not measured any more");
            else if (Rising.Contains(name) ? value < figure * (1 - Slack) : value > (figure * (1 + Slack)) + 1e-9)
                worse.Add(string.Create(CultureInfo.InvariantCulture, $"{name}: {value:0.####}, the best so far is {figure:0.####}"));
        }

        return worse;
    }

    /// <summary>The best of both, figure by figure.</summary>
    public static SortedDictionary<string, double> Best(IReadOnlyDictionary<string, double> best, IReadOnlyDictionary<string, double> now)
    {
        var merged = new SortedDictionary<string, double>(StringComparer.Ordinal);
        foreach (var name in best.Keys.Union(now.Keys))
        {
            merged[name] = !best.TryGetValue(name, out var old) ? now[name]
                : !now.TryGetValue(name, out var value) ? old
                : Rising.Contains(name) ? Math.Max(old, value) : Math.Min(old, value);
        }

        return merged;
    }

    public static IReadOnlyDictionary<string, double> Read(string file) =>
        File.Exists(file) ? JsonSerializer.Deserialize<SortedDictionary<string, double>>(File.ReadAllText(file))! : new SortedDictionary<string, double>();

    /// <summary>
    /// Measures the set: ends of seeds 1 to 12 and faces of seeds 1 to 8, difficulties in turn, outline and size given, so that the figures speak of
    /// rings, angle and slope. Errors are means, each photo's counted as no more than a cap: a mean moves with every photo, a percentile
    /// of so few jumps. A photo of which nothing is said counts half the cap: an honest "cannot say" is better than a wrong number and worse than a good one.
    /// </summary>
    public static IReadOnlyDictionary<string, double> Measure()
    {
        RuleBookSet.Embedded.TryGet("spar", out var book);
        var requests = Enumerable.Range(1, Ends).Select(s => (s, View.End)).Concat(Enumerable.Range(1, Faces).Select(s => (s, View.Face)))
            .Select(p => new SceneRequest { Seed = p.s, View = p.Item2, Difficulty = (Difficulty)(p.s % 3), Megapixels = 1.5 });
        var score = Score.Compute(requests.AsParallel().AsOrdered().WithDegreeOfParallelism(2).Select(r => Trial.Run(r, Told.OutlineAndSize, book)).ToList());
        var now = new SortedDictionary<string, double>(StringComparer.Ordinal)
        {
            ["measured"] = score.Trials.Count(t => t.Answer is not null),
            ["intervalsMissed"] = Math.Max(ExpectedMisses, Math.Round(new[] { score.PerInch, score.WorstInch, score.Angle, score.SlopeEdge, score.SlopeFlat }.Where(r => r.Count > 0).Sum(r => r.Count * (1 - r.Holds)))),
            ["boundariesF1"] = Math.Round(score.BoundaryF1, 4),
            ["falseAccepts"] = score.FalseAccepts,
            ["knotsMissed"] = score.Knots - score.KnotsFound,
            ["falseBlemishesAFace"] = score.FacesMeasured == 0 ? 99 : Math.Round(score.FalseBlemishes / (double)score.FacesMeasured, 3),
        };
        Add("ringsPerInchErrorPercent", score.PerInch, 5);
        Add("worstInchErrorPercent", score.WorstInch, 5);
        Add("ringAngleErrorDeg", score.Angle, 2.5);
        Add("slopeEdgeGrainErrorDeg", score.SlopeEdge, 2);
        Add("slopeFlatGrainErrorDeg", score.SlopeFlat, 5);
        return now;

        void Add(string name, Row row, double cap)
        {
            var asked = score.Asked(row);
            if (asked > 0)
                now[name] = Math.Round(((row.Count == 0 ? 0 : row.Count * row.MeanCapped(cap)) + ((asked - row.Count) * cap / 2)) / asked, 4);
        }
    }

    /// <summary>The command: 0 where nothing is worse.</summary>
    internal static int Run(string file, bool update, TextWriter output, Func<IReadOnlyDictionary<string, double>> measure)
    {
        var best = Read(file);
        var now = measure();
        foreach (var (name, value) in now)
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{name,-34} {value,8:0.####}   best {(best.TryGetValue(name, out var b) ? b.ToString("0.####", CultureInfo.InvariantCulture) : "-")}"));
        var worse = Worse(best, now);
        foreach (var line in worse)
            output.WriteLine("worse: " + line);
        if (update)
            File.WriteAllText(file, JsonSerializer.Serialize(Best(best, now), Json) + "\n");
        return worse.Count == 0 ? 0 : 1;
    }
}
