using System.Globalization;
using GrainVision.Grading.Quantities;

namespace GrainVision.Accuracy;

/// <summary>Errors of one quantity over many photos.</summary>
internal sealed class Row(string name, string unit, double? target = null)
{
    private bool _noInterval;

    private readonly List<(double Truth, Measured Measured, double Error, bool Inside, Trial Trial)> _all = [];

    public string Name { get; } = name;

    public string Unit { get; } = unit;

    public int Count => _all.Count;

    /// <summary>Truth and answer of each, in the quantity's own unit.</summary>
    public IEnumerable<(double Truth, Measured Measured)> Values => _all.Select(e => (e.Truth, e.Measured));

    public void Add(Trial trial, double truth, Measured answer, bool relative)
    {
        var error = answer.Value - truth;
        // A quantity that is given without an interval, such as a corner.
        _noInterval |= answer.Low >= answer.High;
        _all.Add((truth, answer, relative ? 100 * error / truth : error, answer.Low <= truth && truth <= answer.High, trial));
    }

    public IEnumerable<(double Error, Trial Trial)> Worst(int count) =>
        _all.OrderByDescending(e => Math.Abs(e.Error)).Take(count).Select(e => (e.Error, e.Trial));

    /// <summary>"n | bias | median | 90 % | worst | inside".</summary>
    public string Line()
    {
        if (_all.Count == 0)
            return $"| {Name} | 0 | | | | | |";
                return $"| {Name} | {_all.Count} | {_all.Average(e => e.Error):0.00} {Unit} | {Within(0.5):0.00} | {Within(0.9):0.00} | {Within(1):0.00} | {100 * Holds:0} % |";
    }

    /// <summary>Size of error that this share of the photos stays within.</summary>
    public double Within(double share) =>
        _all.Select(e => Math.Abs(e.Error)).Order().ElementAt(Math.Clamp((int)Math.Ceiling(share * _all.Count) - 1, 0, _all.Count - 1));

    /// <summary>Share of intervals that hold the truth.</summary>
    public double Holds => _all.Count(e => e.Inside) / (double)_all.Count;

    /// <summary>Mean size of error, each counted as no more than a cap: one bad photo must not hide all others.</summary>
    public double MeanCapped(double cap) => _all.Average(e => Math.Min(cap, Math.Abs(e.Error)));

    /// <summary>A line of RESULTS.md: target, given, bias, half, 90 %, worst, share within the target, interval.</summary>
    public string Full(int asked)
    {
        var wanted = target is { } t ? string.Create(CultureInfo.InvariantCulture, $"90 % within {t} {Unit}") : "";
        if (_all.Count == 0)
            return $"| {Name} | {wanted} | 0 of {asked} | | | | | | |";
        var met = target is { } limit ? $"{100.0 * _all.Count(e => Math.Abs(e.Error) <= limit) / _all.Count:0} %" : "";
        return string.Create(
            CultureInfo.InvariantCulture,
            $"| {Name} | {wanted} | {_all.Count} of {asked} | {_all.Average(e => e.Error):+0.00;-0.00;0.00} {Unit} | {Within(0.5):0.00} {Unit} | {Within(0.9):0.00} {Unit} | {Within(1):0.00} {Unit} | {met} | {(_noInterval ? "" : $"{100 * Holds:0} %")} |");
    }

    /// <summary>"0.42 (97 %)".</summary>
    public string Short() => _all.Count == 0 ? "-" : string.Create(CultureInfo.InvariantCulture, $"{Within(0.9):0.00}{(_noInterval ? "" : $" ({100 * Holds:0} %)")}");
}
