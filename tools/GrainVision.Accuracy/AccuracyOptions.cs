using System.Globalization;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>The command line as words and values.</summary>
internal sealed class AccuracyOptions
{
    private static readonly string[] Flags = ["list", "locked", "help", "update", "ring-angle", "real", "inspector"];

    private readonly Dictionary<string, string> _options = [];

    public AccuracyOptions(string[] args)
    {
        for (var i = 0; i < args.Length; i++)
        {
            var key = args[i].TrimStart('-');
            // --failing is a flag of its own, and names the seeds beside --inspector.
            var isFlag = Flags.Contains(key) || (key == "failing" && !args.Contains("--inspector"));
            _options[key] = isFlag ? "" : i + 1 < args.Length ? args[++i] : "";
        }
    }

    /// <summary>As the synthesiser reads them.</summary>
    public IReadOnlyDictionary<string, string> All => _options;

    public bool Has(string key) => _options.ContainsKey(key);

    public string? Text(string key) => _options.GetValueOrDefault(key);

    public double Number(string key, double otherwise) => Text(key) is { } text ? double.Parse(text, CultureInfo.InvariantCulture) : otherwise;

    /// <summary>"5-9", "7" or "3,9,20-30"; empty where the option is missing.</summary>
    public IReadOnlyList<int> Seeds(string key)
    {
        if (Text(key) is not { } text)
            return [];
        return [.. text.Split(',').SelectMany(Range)];
    }

    private static IEnumerable<int> Range(string text)
    {
        var ends = text.Split('-').Select(s => int.Parse(s, CultureInfo.InvariantCulture)).ToArray();
        return Enumerable.Range(ends[0], ends[^1] - ends[0] + 1);
    }

    public Told Told => Text("told") switch { "outline" => Told.Outline, "pitch" => Told.Pitch, "size" => Told.OutlineAndSize, _ => Told.Nothing };

    /// <summary>True where a seed is kept for final figures and nobody said so.</summary>
    public bool TouchesLocked => !Has("locked") && Seeds("seeds").Concat(Seeds("good")).Concat(Has("inspector") ? Seeds("failing") : []).Any(s => s is >= SynthesisCommand.LockedFrom and <= SynthesisCommand.LockedTo);
}
