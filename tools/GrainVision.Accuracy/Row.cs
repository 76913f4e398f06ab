using GrainVision.Grading.Quantities;

namespace GrainVision.Accuracy;

/// <summary>Errors of one quantity over many photos.</summary>
internal sealed class Row(string name, string unit)
{
    private readonly List<(double Error, bool Inside, Trial Trial)> _all = [];

    public string Name { get; } = name;

    public int Count => _all.Count;

    public void Add(Trial trial, double truth, Measured answer, bool relative)
    {
        var error = answer.Value - truth;
        _all.Add((relative ? 100 * error / truth : error, answer.Low <= truth && truth <= answer.High, trial));
    }

    public IEnumerable<(double Error, Trial Trial)> Worst(int count) =>
        _all.OrderByDescending(e => Math.Abs(e.Error)).Take(count).Select(e => (e.Error, e.Trial));

    /// <summary>"n | bias | median | 90 % | worst | inside".</summary>
    public string Line()
    {
        if (_all.Count == 0)
            return $"| {Name} | 0 | | | | | |";
        var sizes = _all.Select(e => Math.Abs(e.Error)).Order().ToArray();
        double At(double q) => sizes[(int)Math.Min(sizes.Length - 1, Math.Ceiling(q * sizes.Length) - 1 < 0 ? 0 : Math.Ceiling(q * sizes.Length) - 1)];
        return $"| {Name} | {_all.Count} | {_all.Average(e => e.Error):0.00} {unit} | {At(0.5):0.00} | {At(0.9):0.00} | {sizes[^1]:0.00} | {100.0 * _all.Count(e => e.Inside) / _all.Count:0} % |";
    }
}
