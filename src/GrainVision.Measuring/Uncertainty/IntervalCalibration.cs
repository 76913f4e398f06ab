using System.Text.Json;
using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Uncertainty;

/// <summary>By how much the intervals of one quantity under one condition are stretched.</summary>
/// <param name="Quantity">Which.</param>
/// <param name="Group">Condition, as <see cref="PhotoConditions.GroupOf"/> names it.</param>
/// <param name="Factor">Factor on both halves of the interval; over 1 widens.</param>
/// <param name="Values">Number of values with known truth that it was fitted to.</param>
/// <param name="HeldBefore">Share of them that the interval held without it.</param>
internal sealed record CalibrationCell(CalibratedQuantity Quantity, string Group, double Factor, int Values, double HeldBefore);

/// <summary>
/// What the error model of each stage leaves out, measured on drawn photos with exact truth: factors on the intervals, so that 95 % of them hold.
/// Fitted and written by <c>tools/GrainVision.Accuracy -- --calibrate</c>.
/// </summary>
/// <remarks>
/// Split conformal prediction with normalised scores, apart for each group of conditions (Mondrian): V. Vovk, A. Gammerman, G. Shafer, "Algorithmic Learning in
/// a Random World", Springer 2005, ch. 4; J. Lei et al., "Distribution-free predictive inference for regression", JASA 113, 2018, doi:10.1080/01621459.2017.1307116.
/// The score of a value is its error over the half of the interval on that side; the factor is the ceil((n + 1) 0.95)-th smallest of n scores. It promises 95 % for
/// photos like the drawn ones, over all of a group, not for each photo; on real photos it has not been proven.
/// </remarks>
internal sealed class IntervalCalibration
{
    private const string File = "Intervals.calibration.json";

    private static readonly Lazy<IntervalCalibration> Built = new(() => Read(EmbeddedModel.Read(File)));

    private readonly Dictionary<(CalibratedQuantity, string), double> _factors;

    public IntervalCalibration(IReadOnlyList<CalibrationCell> cells)
    {
        Cells = cells;
        _factors = cells.ToDictionary(c => (c.Quantity, c.Group), c => c.Factor);
    }

    /// <summary>Leaves every interval as it is: for calibrating.</summary>
    public static IntervalCalibration None { get; } = new([]);

    /// <summary>The one that this program was built with: models/intervals.</summary>
    public static IntervalCalibration Embedded => Built.Value;

    /// <summary>By the start of its file's SHA-256: "intervals 0a1b2c3d4e5f6071".</summary>
    public static string EmbeddedIdentity => $"intervals {EmbeddedModel.ShortHashOf(File)}";

    public IReadOnlyList<CalibrationCell> Cells { get; }

    /// <summary>Factor on the halves of an interval; 1 where nothing was fitted.</summary>
    public double FactorOf(CalibratedQuantity quantity, PhotoConditions conditions) =>
        conditions.GroupOf(quantity) is { } group && _factors.TryGetValue((quantity, group), out var factor) ? factor : 1;

    /// <exception cref="InvalidDataException">Not a calibration: a broken build.</exception>
    public static IntervalCalibration Read(byte[] json)
    {
        var cells = JsonSerializer.Deserialize<IReadOnlyList<CalibrationCell>>(json, ContractJson.Options) ?? throw new InvalidDataException("Empty calibration.");
        return cells.All(c => double.IsFinite(c.Factor) && c.Factor > 0) ? new IntervalCalibration(cells) : throw new InvalidDataException("A factor of the calibration is not a positive number.");
    }
}
